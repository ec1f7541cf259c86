//! GPX 1.1: one way point a spot.

use super::SIMULATED;
use super::figures::Figures;
use crate::sanitize::plain;
use crate::survey::visits::Visit;
use quick_xml::Writer;
use quick_xml::events::{BytesDecl, BytesText, Event};
use std::io;

/// The spots of all visits that have a position, as way points.
///
/// # Panics
///
/// Never: memory takes everything that is written to it.
pub fn gpx(visits: &[Visit]) -> String {
    let mut writer = Writer::new_with_indent(Vec::new(), b' ', 2);
    // A vector takes everything.
    write(&mut writer, visits).expect("way points are written to memory");
    let mut text = String::from_utf8_lossy(&writer.into_inner()).into_owned();
    text.push('\n');
    text
}

fn write(writer: &mut Writer<Vec<u8>>, visits: &[Visit]) -> io::Result<()> {
    writer.write_event(Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None)))?;
    writer
        .create_element("gpx")
        .with_attributes([
            ("version", "1.1"),
            ("creator", "mastside"),
            ("xmlns", "http://www.topografix.com/GPX/1/1"),
        ])
        .write_inner_content(|writer| {
            if visits.iter().any(|v| v.analysis.head.rehearsal) {
                writer.create_element("metadata").write_inner_content(|writer| {
                    writer.create_element("desc").write_text_content(BytesText::new(SIMULATED))?;
                    Ok(())
                })?;
            }
            for visit in visits {
                for spot in &visit.analysis.spots {
                    let Some(place) = spot.position() else { continue };
                    let figures = Figures::of(spot);
                    let level = figures.level.as_ref().map_or_else(
                        || "no level".to_owned(),
                        |l| format!("median {:.1} dBm", l.median),
                    );
                    let mut words = format!("registered {}, {level}", figures.share_words());
                    if let Some(day) = visit.date() {
                        words.push_str(&format!(", {day}"));
                    }
                    if visit.analysis.head.rehearsal {
                        words.push_str(", simulated");
                    }
                    let (latitude, longitude) =
                        (format!("{:.7}", place.latitude), format!("{:.7}", place.longitude));
                    writer
                        .create_element("wpt")
                        .with_attributes([("lat", latitude.as_str()), ("lon", longitude.as_str())])
                        .write_inner_content(|writer| {
                            let name = plain(&spot.name);
                            writer
                                .create_element("name")
                                .write_text_content(BytesText::new(&name))?;
                            writer
                                .create_element("desc")
                                .write_text_content(BytesText::new(&words))?;
                            Ok(())
                        })?;
                }
            }
            Ok(())
        })?;
    Ok(())
}

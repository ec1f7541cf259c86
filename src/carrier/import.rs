//! Profiles from the open data set of mobile broadband providers (XML, public domain).
//!
//! Form of the data: country (`code`) > provider > name, gsm > network-id (`mcc`, `mnc`), apn
//! (`value`) > usage (`type`), username, password, authentication (`method`).

use super::profile::{AccessPoint, Authentication, Cards, Carrier};
use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};
use std::fmt::Write;

/// Why the data cannot be read.
#[derive(Debug, thiserror::Error)]
#[error("byte {at}: {problem}")]
pub struct ImportError {
    /// The byte of the input.
    pub at: u64,
    /// What is wrong.
    pub problem: String,
}

/// A provider of the data, and its country.
#[derive(Clone, Debug, PartialEq)]
pub struct Imported {
    /// ISO code of the country, lower case.
    pub country: String,
    /// The profile.
    pub carrier: Carrier,
}

#[derive(Default)]
struct Building {
    carrier: Carrier,
    point: Option<AccessPoint>,
    user: bool,
    naming: bool,
}

/// Reads every provider that has a network of the 3GPP kind.
///
/// # Errors
///
/// [`ImportError`] where the input is not the XML of the data set.
pub fn read(xml: &str) -> Result<Vec<Imported>, ImportError> {
    let mut reader = Reader::from_str(xml);
    let mut found = Vec::new();
    let mut country = String::new();
    let mut provider: Option<Building> = None;
    let mut path: Vec<String> = Vec::new();
    let mut known = false;
    loop {
        let at = reader.buffer_position();
        let fail = |problem: String| ImportError { at, problem };
        match reader.read_event().map_err(|e| fail(e.to_string()))? {
            Event::Eof => break,
            Event::Start(tag) => {
                let name = String::from_utf8_lossy(tag.name().as_ref().as_ref()).into_owned();
                known |= name == "serviceproviders";
                open(&name, &tag, &mut country, &mut provider);
                path.push(name);
                if path.len() > 32 {
                    return Err(fail("nested deeper than the data set is".into()));
                }
            }
            Event::Empty(tag) => {
                let name = String::from_utf8_lossy(tag.name().as_ref().as_ref()).into_owned();
                open(&name, &tag, &mut country, &mut provider);
                close(&name, &country, &mut provider, &mut found);
            }
            Event::Text(text) => {
                let text = AsRef::<str>::as_ref(&text).to_owned();
                take_text(&path, &unescaped(&text), &mut provider);
            }
            Event::GeneralRef(reference) => {
                let name = AsRef::<str>::as_ref(&reference).to_owned();
                take_text(&path, &unescaped(&format!("&{name};")), &mut provider);
            }
            Event::End(_) => {
                if let Some(name) = path.pop() {
                    close(&name, &country, &mut provider, &mut found);
                }
            }
            _ => {}
        }
    }
    if !known {
        return Err(ImportError { at: 0, problem: "this is not the data set of mobile broadband providers: no `serviceproviders` in it".into() });
    }
    Ok(found)
}

fn attribute(tag: &BytesStart<'_>, name: &str) -> Option<String> {
    tag.attributes()
        .flatten()
        .find(|a| AsRef::<[u8]>::as_ref(&a.key.as_ref()) == name.as_bytes())
        .map(|a| unescaped(a.value.as_ref()))
}

fn unescaped(text: &str) -> String {
    quick_xml::escape::unescape(text).map_or_else(|_| text.to_owned(), std::borrow::Cow::into_owned)
}

fn open(name: &str, tag: &BytesStart<'_>, country: &mut String, provider: &mut Option<Building>) {
    match (name, provider.as_mut()) {
        ("country", _) => *country = attribute(tag, "code").unwrap_or_default().to_lowercase(),
        ("provider", _) => *provider = Some(Building::default()),
        ("name", Some(p)) => p.naming = p.carrier.name.is_empty(),
        ("network-id", Some(p)) => {
            if let (Some(mcc), Some(mnc)) = (attribute(tag, "mcc"), attribute(tag, "mnc")) {
                let code = format!("{}{}", mcc.trim(), mnc.trim());
                if !p.carrier.networks.contains(&code) {
                    p.carrier.networks.push(code);
                }
            }
        }
        ("apn", Some(p)) => {
            p.user = false;
            p.point = Some(AccessPoint {
                name: attribute(tag, "value").unwrap_or_default().trim().to_owned(),
                purpose: Vec::new(),
                address: None,
                authentication: None,
                credentials: None,
                context: None,
                mtu: None,
            });
        }
        ("usage", Some(Building { point: Some(point), .. })) => {
            let purpose = match attribute(tag, "type").as_deref() {
                Some("mms" | "mms-internet-hipri") => Some("mms"),
                Some("wap") => Some("wap"),
                Some(_) => Some("internet"),
                None => None,
            };
            point.purpose.extend(purpose.map(str::to_owned));
        }
        ("authentication", Some(Building { point: Some(point), .. })) => {
            point.authentication =
                match attribute(tag, "method").unwrap_or_default().to_lowercase().as_str() {
                    "pap" => Some(Authentication::Pap),
                    "chap" => Some(Authentication::Chap),
                    _ => None,
                };
        }
        _ => {}
    }
}

fn take_text(path: &[String], text: &str, provider: &mut Option<Building>) {
    let Some(p) = provider.as_mut() else { return };
    let [.., parent, name] = path else { return };
    match (parent.as_str(), name.as_str()) {
        ("provider", "name") if p.naming => p.carrier.name.push_str(text),
        ("apn", "username") => p.user |= !text.trim().is_empty(),
        _ => {}
    }
}

fn close(name: &str, country: &str, provider: &mut Option<Building>, found: &mut Vec<Imported>) {
    match name {
        "name" => {
            if let Some(p) = provider.as_mut() {
                p.naming = false;
            }
        }
        "apn" => {
            if let Some(p) = provider.as_mut()
                && let Some(mut point) = p.point.take()
            {
                if p.user {
                    point.credentials =
                        Some("the data set has a user name; look it up there".into());
                }

                p.carrier.access_points.push(point);
            }
        }
        "provider" => {
            if let Some(mut p) = provider.take() {
                p.carrier.name =
                    p.carrier.name.trim().chars().filter(|c| !c.is_control()).collect();
                p.carrier.cards = Cards { imsi: p.carrier.networks.clone(), ..Cards::default() };
                if !p.carrier.networks.is_empty() || !p.carrier.access_points.is_empty() {
                    found.push(Imported { country: country.to_owned(), carrier: p.carrier });
                }
            }
        }
        _ => {}
    }
}

/// Writes providers as one file of profiles, each with its source and date.
pub fn write(imported: &[Imported], source: &str, as_of: &str) -> String {
    let mut out = String::from(
        "# Imported; see source and as_of of each profile. Hints, not truth: hold them against the carrier's own word.\n",
    );
    for Imported { country, carrier } in imported {
        let quote = |text: &str| toml::Value::String(text.to_owned()).to_string();
        let list = |words: &[String]| {
            format!("[{}]", words.iter().map(|w| quote(w)).collect::<Vec<_>>().join(", "))
        };
        // Writing to a string cannot fail.
        let _ = writeln!(out, "\n[[carrier]]\nname = {}", quote(&carrier.name));
        let _ = writeln!(out, "networks = {}", list(&carrier.networks));
        let _ = writeln!(
            out,
            "as_of = {as_of}\nsource = {}",
            quote(&format!("{source}, country {country}"))
        );
        let _ = writeln!(out, "cards = {{ imsi = {} }}", list(&carrier.cards.imsi));
        if carrier.access_points.is_empty() {
            continue;
        }
        out.push_str("access_point = [\n");
        for point in &carrier.access_points {
            let mut cells = vec![format!("name = {}", quote(&point.name))];
            if !point.purpose.is_empty() {
                cells.push(format!("purpose = {}", list(&point.purpose)));
            }
            if let Some(a) = point.authentication {
                cells.push(format!("authentication = {}", quote(&a.word().to_lowercase())));
            }
            if let Some(c) = &point.credentials {
                cells.push(format!("credentials = {}", quote(c)));
            }
            let _ = writeln!(out, "  {{ {} }},", cells.join(", "));
        }
        out.push_str("]\n");
    }
    out
}

#[cfg(test)]
mod tests {
    use super::super::ProfileStore;
    use super::*;
    use proptest::prelude::*;
    use std::path::Path;

    const DATA: &str = r#"<?xml version="1.0"?><serviceproviders format="2.0">
<country code="zz"><provider><name>Hill &amp; Dale</name><gsm><network-id mcc="001" mnc="01"/>
<apn value=" gauge.example "><usage type="internet"/><username>u</username><authentication method="pap"/></apn></gsm></provider>
<provider><name>No networks</name><cdma/></provider></country></serviceproviders>"#;

    #[test]
    fn a_provider_becomes_a_profile_that_reads_back() {
        let found = read(DATA).unwrap();
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].carrier.name, "Hill & Dale");
        assert_eq!(found[0].carrier.access_points[0].name, "gauge.example");
        assert_eq!(found[0].carrier.access_points[0].authentication, Some(Authentication::Pap));
        let text = write(&found, "made up", "2026-03-01");
        let mut profiles = ProfileStore::default();
        profiles.add(Path::new("i.toml"), text);
        let (back, errors) = profiles.all();
        assert_eq!(errors, []);
        assert_eq!(back[0].carrier.networks, ["00101"]);
        assert_eq!(back[0].carrier.access_points, found[0].carrier.access_points);
    }

    #[test]
    fn other_xml_and_no_xml_are_refused() {
        assert!(read("<html></html>").unwrap_err().to_string().contains("not the data set"));
        assert!(read("<a><b></a>").is_err());
    }

    proptest! {
        #[test]
        fn any_name_that_is_written_reads_back(name in "\\PC{1,30}", apn in "[a-z.\"\\\\ ]{0,20}") {
            let point = AccessPoint { name: apn, purpose: vec!["internet".into()], address: None, authentication: None, credentials: None, context: None, mtu: None };
            let carrier = Carrier { name, networks: vec!["00101".into()], access_points: vec![point], ..Carrier::default() };
            let text = write(&[Imported { country: "zz".into(), carrier: carrier.clone() }], "s", "2026-03-01");
            let mut profiles = ProfileStore::default();
            profiles.add(Path::new("i.toml"), text.clone());
            let (back, errors) = profiles.all();
            prop_assert!(errors.is_empty(), "{:?} {}", errors, text);
            prop_assert_eq!(&back[0].carrier.name, &carrier.name);
            prop_assert_eq!(&back[0].carrier.access_points, &carrier.access_points);
        }
    }
}

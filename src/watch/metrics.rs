//! The figures of a watch as metrics: OpenMetrics 1.0 and the classic text format (version 0.0.4).
//!
//! Names have the unit behind them, counters end in `_total`; labels have a bounded number of values: findings,
//! kinds of event, kinds of trouble. No identity, address, cell or place is among them.

use super::event::Kind;
use super::figures::{Figures, Snapshot};
use super::trouble::Trouble;
use chrono::Utc;
use prometheus_client::collector::Collector;
use prometheus_client::encoding::{DescriptorEncoder, EncodeMetric, prometheus_text, text};
use prometheus_client::metrics::counter::ConstCounter;
use prometheus_client::metrics::gauge::ConstGauge;
use prometheus_client::metrics::info::Info;
use prometheus_client::registry::{Registry, Unit};
use std::fmt;
use std::sync::Arc;
use strum::IntoEnumIterator;

/// The content type of OpenMetrics.
pub(super) const OPENMETRICS: &str = "application/openmetrics-text; version=1.0.0; charset=utf-8";
/// The content type of the classic format.
pub(super) const CLASSIC: &str = prometheus_text::CONTENT_TYPE;

/// The figures as OpenMetrics text.
///
/// # Errors
///
/// Where the encoder refuses.
pub fn openmetrics(figures: &Arc<Figures>) -> Result<String, fmt::Error> {
    let mut out = String::new();
    text::encode(&mut out, &registry(figures))?;
    Ok(out)
}

/// The figures in the classic text format.
///
/// # Errors
///
/// Where the encoder refuses.
pub fn classic(figures: &Arc<Figures>) -> Result<String, fmt::Error> {
    let mut out = String::new();
    prometheus_text::encode(&mut out, &registry(figures))?;
    Ok(out)
}

fn registry(figures: &Arc<Figures>) -> Registry {
    let mut registry = Registry::with_prefix("mastside");
    let build = Info::new(vec![
        ("version", env!("CARGO_PKG_VERSION").to_owned()),
        ("tables", include_str!("../../band-tables/date.txt").trim().to_owned()),
    ]);
    registry.register("build", "The version of the program and the date of its tables", build);
    registry.register_collector(Box::new(Reader(Arc::clone(figures))));
    registry
}

/// Reads the figures at each scrape.
#[derive(Debug)]
struct Reader(Arc<Figures>);

impl Collector for Reader {
    fn encode(&self, mut encoder: DescriptorEncoder) -> fmt::Result {
        let now = self.0.snapshot();
        gauges(&now, &mut encoder)?;
        counters(&now, &mut encoder)
    }
}

fn gauges(now: &Snapshot, encoder: &mut DescriptorEncoder) -> fmt::Result {
    let dbm = Unit::Other("dbm".into());
    let db = Unit::Other("db".into());
    let level = &now.levels;
    let since = |then: Option<chrono::DateTime<Utc>>| {
        then.map(|then| (Utc::now() - then).as_seconds_f64().max(0.0))
    };
    let flag = |on: bool| f64::from(u8::from(on));
    let of = |trouble| flag(now.trouble == Some(trouble));
    let rows: [(&str, &str, Option<&Unit>, Option<f64>); 10] = [
        (
            "registered",
            "Whether the modem is registered for data (1) or not (0); absent while it is not known",
            None,
            now.registered.map(flag),
        ),
        (
            "registration_stat",
            "The <stat> of the registration that carries data, by TS 27.007",
            None,
            now.stat.map(f64::from),
        ),
        (
            "port_open",
            "Whether the port of the modem is open (1) or not (0)",
            None,
            Some(flag(now.port_open)),
        ),
        (
            "traffic",
            "Whether the probed host answers (1) or not (0); absent where none is probed",
            None,
            now.traffic.map(flag),
        ),
        (
            "rsrp",
            "Reference signal received power of the last reading; RSCP on UMTS, received level on GSM",
            Some(&dbm),
            level.rsrp_dbm,
        ),
        (
            "rsrq",
            "Reference signal received quality of the last reading; Ec/N0 on UMTS",
            Some(&db),
            level.rsrq_db,
        ),
        ("sinr", "Signal to interference and noise of the last reading", Some(&db), level.sinr_db),
        (
            "rssi",
            "Received power over the whole channel of the last reading",
            Some(&dbm),
            level.rssi_dbm,
        ),
        (
            "since_registered",
            "Time since the modem was last seen registered",
            Some(&Unit::Seconds),
            since(now.last_registered),
        ),
        (
            "since_reading",
            "Time since the last reading that is on the disk",
            Some(&Unit::Seconds),
            since(now.last_sample),
        ),
    ];
    for (name, help, unit, value) in rows {
        if let Some(value) = value {
            let gauge = ConstGauge::new(value);
            gauge.encode(encoder.encode_descriptor(name, help, unit, gauge.metric_type())?)?;
        }
    }
    let gauge = ConstGauge::new(0.0);
    let help = "The trouble that lasts now (1), the lowest where there are several";
    let mut family = encoder.encode_descriptor("trouble", help, None, gauge.metric_type())?;
    for trouble in Trouble::iter() {
        let labels = [("kind", trouble.begins().name())];
        ConstGauge::new(of(trouble)).encode(family.encode_family(&labels)?)?;
    }
    Ok(())
}

fn counters(now: &Snapshot, encoder: &mut DescriptorEncoder) -> fmt::Result {
    let rows = [
        ("samples", "Readings that are on the disk", now.samples),
        ("restarts", "Restarts of the modem", now.restarts),
        (
            "read_errors",
            "Times that the modem gave no reading: no answer, or its line lost",
            now.read_errors,
        ),
        ("log_errors", "Lines that the disk did not take", now.log_errors),
    ];
    for (name, help, value) in rows {
        let counter = ConstCounter::new(value);
        counter.encode(encoder.encode_descriptor(name, help, None, counter.metric_type())?)?;
    }
    let counter = ConstCounter::new(0_u64);
    let help = "Outages by their cause: the finding of the examination, or the trouble where there was none";
    let mut family = encoder.encode_descriptor("outages", help, None, counter.metric_type())?;
    for (cause, count) in &now.outages {
        ConstCounter::new(*count).encode(family.encode_family(&[("cause", cause.as_str())])?)?;
    }
    let help = "Events by their kind";
    let mut family = encoder.encode_descriptor("events", help, None, counter.metric_type())?;
    for kind in Kind::iter() {
        // A kind that never came is there as zero, so that an alert on its increase sees the first one.
        let count = now.events.get(&kind).copied().unwrap_or(0);
        ConstCounter::new(count).encode(family.encode_family(&[("kind", kind.name())])?)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::sample::tests_sample;

    fn figures() -> Arc<Figures> {
        let figures = Arc::new(Figures::default());
        figures.sample(&tests_sample(1));
        figures.outage("registration/network-trouble");
        figures
    }

    #[test]
    fn openmetrics_has_units_and_an_end() {
        let text = openmetrics(&figures()).unwrap();
        for line in [
            "# TYPE mastside_rsrp_dbm gauge\n# UNIT mastside_rsrp_dbm dbm\nmastside_rsrp_dbm -98.0\n",
            "mastside_samples_total 1\n",
            "mastside_outages_total{cause=\"registration/network-trouble\"} 1\n",
            "mastside_events_total{kind=\"restarted\"} 0\n",
            "mastside_build_info{version=\"",
        ] {
            assert!(text.contains(line), "{line}\n{text}");
        }
        assert!(text.ends_with("# EOF\n"));
        assert!(!text.contains("mastside_registered "), "nothing is known of it");
    }

    #[test]
    fn the_classic_format_names_counters_whole_and_has_no_end() {
        let text = classic(&figures()).unwrap();
        assert!(
            text.contains("# TYPE mastside_samples_total counter\nmastside_samples_total 1\n"),
            "{text}"
        );
        assert!(!text.contains("# EOF") && !text.contains("# UNIT"));
    }

    #[test]
    fn nothing_of_cell_or_place_is_a_label() {
        let text = classic(&figures()).unwrap();
        let labels: std::collections::BTreeSet<&str> =
            text.lines().filter_map(|l| Some(l.split_once('{')?.1.split_once('=')?.0)).collect();
        assert_eq!(labels.into_iter().collect::<Vec<_>>(), ["cause", "kind", "version"]);
    }
}

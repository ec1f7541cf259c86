//! What is worth knowing beside the cause: reserves of a healthy modem, contradictions, history.

use super::Judged;
use crate::case::Domain;
use crate::case::{Case, Evidence, conflicts};
use crate::reference::thresholds::{self, threshold};
use crate::rules::{Certainty, Site, data_registered};
use schemars::JsonSchema;
use serde::Serialize;
use strum::IntoStaticStr;

/// What a remark is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, IntoStaticStr, Serialize, JsonSchema)]
#[strum(serialize_all = "kebab-case")]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// The modem is healthy, with something to watch.
    Reserve,
    /// Readings that do not fit together.
    #[strum(serialize = "doubt")]
    #[serde(rename = "doubt")]
    Uncertainty,
    /// A trouble of the past that is over.
    History,
    /// A setting of the modem or the card that may matter.
    Setting,
    /// The carrier profile that was used, or why none was.
    Profile,
    /// What the last of several texts settled.
    Progress,
    /// The text itself: several modems, several texts, parts that were not understood.
    Text,
}

impl Kind {
    /// The word for it.
    pub fn word(self) -> &'static str {
        self.into()
    }
}

/// A remark and the lines behind it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    /// What kind.
    pub kind: Kind,
    /// The sentence.
    pub text: String,
    /// The lines that show it.
    pub evidence: Vec<Evidence>,
}

/// All remarks on a site.
pub(super) fn all(site: &Site<'_>, judged: &[Judged], healthy: bool) -> Vec<Remark> {
    let mut remarks = Vec::new();
    remarks.extend(conflicts(site.case).into_iter().map(|d| Remark {
        kind: Kind::Uncertainty,
        text: d.text,
        evidence: d.evidence,
    }));
    odd_states(site.case, &mut remarks);
    if healthy {
        reserves(site.case, judged, &mut remarks);
    }
    against_profile(site, healthy, &mut remarks);
    past_refusals(site.case, &mut remarks);
    circuit_beside_data(site.case, &mut remarks);
    super::noted::all(site.case, healthy, &mut remarks);
    remarks
}

fn reserves(case: &Case, judged: &[Judged], remarks: &mut Vec<Remark>) {
    use crate::case::Quantity;
    let beyond = |quantity, name: &str| {
        let (Some(value), o) = case.level(quantity)? else { return None };
        (threshold(name)?.judge(value) > thresholds::Reach::Clear).then_some((value, o))
    };
    if let Some((level, o)) = beyond(Quantity::Rsrp, "reserve-rsrp") {
        remarks.push(Remark {
            kind: Kind::Reserve,
            text: format!("The level is weak ({level} dBm): it holds now, with little to spare for rain, leaves or a busy cell."),
            evidence: vec![o.says("RSRP, the level of the cell's reference signal")],
        });
    }
    if let Some((ratio, o)) = beyond(Quantity::Sinr, "reserve-sinr") {
        remarks.push(Remark {
            kind: Kind::Reserve,
            text: format!(
                "Noise or other cells are as strong as the signal ({ratio} dB): expect slow data."
            ),
            evidence: vec![o.says("SINR, signal over interference and noise")],
        });
    }
    for j in judged.iter().filter(|j| j.certainty().is_some_and(|c| c >= Certainty::Likely)) {
        remarks.push(Remark {
            kind: Kind::Reserve,
            text: j.summary().to_owned(),
            evidence: j.evidence().to_vec(),
        });
    }
}

/// Refusals that a later registration has overtaken.
fn past_refusals(case: &Case, remarks: &mut Vec<Remark>) {
    let Some(now) = data_registered(case) else { return };
    let denied = case
        .registration
        .states
        .values()
        .flat_map(|h| h.all().iter())
        .filter(|o| o.value.stat == 3 && o.value.domain != Domain::Circuit && o.span < now.span)
        .max_by_key(|o| o.order);
    if let Some(o) = denied {
        remarks.push(Remark {
            kind: Kind::History,
            text: "The network refused the modem earlier in the text and takes it now.".into(),
            evidence: vec![o.says("refused, earlier"), now],
        });
    }
}

/// A bad circuit state beside working data is no fault, and worries people.
fn circuit_beside_data(case: &Case, remarks: &mut Vec<Remark>) {
    let Some(data) = data_registered(case) else { return };
    if let Some(o) =
        case.stat(Domain::Circuit).filter(|o| matches!(o.value.stat, 0 | 2 | 3 | 4 | 6))
    {
        remarks.push(Remark {
            kind: Kind::Uncertainty,
            text: "+CREG speaks of voice and messages only; a data card may fail there while its data works.".into(),
            evidence: vec![o.says("voice and messages: not served"), data],
        });
    }
}

/// States that do not fit each other, with the likeliest reasons.
fn odd_states(case: &Case, remarks: &mut Vec<Remark>) {
    use crate::case::Quantity;
    let registered = data_registered(case);
    if let Some(now) = &registered {
        let told_none =
            case.sessions.addresses.values().filter_map(|h| h.latest()).all(|o| o.value.is_empty());
        if let Some(none) =
            case.sessions.addresses.values().find_map(|h| h.latest()).filter(|_| told_none)
        {
            remarks.push(Remark {
                kind: Kind::Uncertainty,
                text: "Registered for data and without an address: the session was perhaps read before it was up, or it runs on a context that was not read.".into(),
                evidence: vec![now.clone(), none.says("no address")],
            });
        }
    }
    if let (Some(now), Some(o)) =
        (&registered, case.registration.attached.latest().filter(|o| !o.value))
    {
        remarks.push(Remark {
            kind: Kind::Uncertainty,
            text: "Registered for data and not attached (+CGATT: 0), which on LTE go together: read both again; where it stays so, AT+CGATT=1 asks for the attach.".into(),
            evidence: vec![now.clone(), o.says("not attached to the packet service")],
        });
    }
    let strong =
        case.level(Quantity::Rsrp).and_then(|(v, o)| v.filter(|v| *v > -100.0).map(|v| (v, o)));
    let nothing_found = case.registration.scans.latest().filter(|o| o.value.is_empty());
    if let (Some((level, o)), Some(scan)) = (strong, nothing_found) {
        remarks.push(Remark {
            kind: Kind::Uncertainty,
            text: "A good level and a search that found nothing: the search was perhaps cut short, or the level is an old one.".into(),
            evidence: vec![o.says(format!("{level} dBm")), scan.says("no network found")],
        });
    }
}

/// What the carrier's profile has to say beside the rules: a name that was taken although it is not
/// the carrier's, a band that the profile does not know, limits on devices.
fn against_profile(site: &Site<'_>, healthy: bool, remarks: &mut Vec<Remark>) {
    use crate::case::{Quantity, Rat};
    use crate::rules::{RegistrationStatus, registration_status};
    let Some(carrier) = site.carrier else { return };
    let case = site.case;
    if healthy {
        let stored = case
            .sessions
            .contexts
            .get(&1)
            .and_then(|h| h.latest())
            .filter(|o| !o.value.apn.is_empty());
        let known =
            |name: &str| carrier.access_points.iter().any(|a| a.name.eq_ignore_ascii_case(name));
        if let Some(o) =
            stored.filter(|o| !carrier.access_points.is_empty() && !known(&o.value.apn))
        {
            remarks.push(Remark {
                kind: Kind::Reserve,
                text: format!("The network took the access point name {}, which the profile of {} does not know.", o.value.apn, carrier.name),
                evidence: vec![o.says("accepted, and not in the profile")],
            });
        }
        let band = case.level(Quantity::Band).and_then(|(v, o)| v.map(|v| (v, o)));
        let wanted = carrier.bands.of(Rat::Lte);
        let lte = case.radio.technology.latest().is_none_or(|o| o.value == Rat::Lte);
        if let Some((number, o)) = band.filter(|(n, _)| {
            lte && !wanted.is_empty() && wanted.iter().all(|w| f64::from(*w) != *n)
        }) {
            remarks.push(Remark {
                kind: Kind::Reserve,
                text: format!(
                    "Band {number} is in use, and the profile of {} does not name it.",
                    carrier.name
                ),
                evidence: vec![o.says("the band in use")],
            });
        }
    }
    let refused =
        registration_status(case).filter(|(s, _)| *s == RegistrationStatus::Denied).map(|(_, e)| e);
    if let Some(evidence) = refused {
        let limits = &carrier.limits;
        let model = case.device.model.latest().map(|o| o.value.clone());
        let unapproved = model.filter(|m| {
            !limits.approved_models.is_empty()
                && !limits.approved_models.iter().any(|a| a.eq_ignore_ascii_case(m))
        });
        let mut words = Vec::new();
        if let Some(model) = unapproved {
            words.push(format!(
                "{} does not name the model {model} among those that it approves",
                carrier.name
            ));
        } else if limits.approval_list {
            words
                .push(format!("{} serves only devices on its list of approved ones", carrier.name));
        }
        if limits.imei_bound {
            words.push(format!("cards of {} are bound to one device each", carrier.name));
        }
        if !words.is_empty() {
            remarks.push(Remark {
                kind: Kind::Profile,
                text: format!("{}: ask whether this device is admitted.", words.join("; ")),
                evidence: vec![evidence],
            });
        }
    }
}

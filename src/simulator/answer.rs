//! What the simulated modem answers, and what a command changes.

use super::card::{Refused, card, restricted};
use super::modem::Modem;
use super::response;
use super::scenario::CardState;
use crate::case::{Domain, RegistrationStatus, Sim};
use crate::response::fields;

/// The lines and the result of a command; `body` is upper case, `original` as it was sent, both
/// without `AT`. No result where the modem stays silent.
pub(super) fn answer(
    modem: &mut Modem,
    body: &str,
    original: &str,
) -> (Vec<String>, Option<String>) {
    if let Some(lines) = modem.scenario.modem.replies.get(&format!("AT{body}")) {
        let lines = lines.clone();
        return (lines.iter().map(|line| filled(modem, line)).collect(), Some("OK".into()));
    }
    let mut lines = Vec::new();
    // Commands joined by semicolons are answered together; the first error ends them.
    for (part, sent) in body.split(';').zip(original.split(';')) {
        match one(modem, part.trim(), sent.trim()) {
            Ok(more) => lines.extend(more),
            Err(error) => return (lines, Some(error_line(modem, error))),
        }
    }
    (lines, Some("OK".into()))
}

/// A line of the scenario with the level of this reading where it stands for one.
fn filled(modem: &mut Modem, line: &str) -> String {
    let mut level = None;
    let mut out = String::new();
    let mut rest = line;
    while let Some((before, (offset, after))) =
        rest.split_once("{rsrp").and_then(|(before, more)| Some((before, more.split_once('}')?)))
    {
        let level = *level.get_or_insert_with(|| modem.level());
        // An offset that is no number stands for none; the scenario's tests read every line.
        out.push_str(&format!("{before}{:.0}", level + offset.parse().unwrap_or(0.0)));
        rest = after;
    }
    out + rest
}

fn error_line(modem: &Modem, error: Refused) -> String {
    match (error, modem.settings.errors) {
        (Some(n), 1) => format!("+CME ERROR: {n}"),
        (Some(n), 2) => {
            let words = crate::reference::errors::cme(n).map_or("unknown error", |e| e.text);
            format!("+CME ERROR: {words}")
        }
        _ => "ERROR".into(),
    }
}

fn one(modem: &mut Modem, part: &str, sent: &str) -> Result<Vec<String>, Refused> {
    let (name, value) = match part.find(['=', '?']) {
        Some(at) => part.split_at(at),
        None => (part, ""),
    };
    let value_sent = sent.get(sent.len().saturating_sub(value.len())..).unwrap_or("");
    if let Some(answer) = stored(modem, sent) {
        return answer;
    }
    if let Some(set) = value.strip_prefix('=').filter(|v| *v != "?") {
        return set_value(modem, name, set, value_sent.trim_start_matches('='));
    }
    read(modem, name, value)
}

/// A vendor's own setting, read or written; `None` for every other command.
fn stored(modem: &mut Modem, sent: &str) -> Option<Result<Vec<String>, Refused>> {
    let keys: Vec<String> = modem.settings.stored.keys().cloned().collect();
    let key = keys.into_iter().find(|k| {
        sent.get(..k.len()).is_some_and(|start| start.eq_ignore_ascii_case(k))
            && !sent[k.len()..].starts_with(|c: char| c.is_ascii_alphanumeric())
    })?;
    let (head, word) = key.split_once('=').map_or((&*key, ""), |(head, word)| (head, word));
    let comma = if word.is_empty() { "" } else { "," };
    match &sent[key.len()..] {
        "?" | "" => {
            let value = modem.settings.stored.get(&key).cloned().unwrap_or_default();
            Some(Ok(vec![format!("{head}: {word}{comma}{value}")]))
        }
        // A command that lost its mark is no write.
        set if !set.starts_with(if word.is_empty() { '=' } else { ',' }) => Some(Err(Some(50))),
        set => {
            let value = set.trim_start_matches(['=', ',']).to_owned();
            modem.settings.stored.insert(key, value);
            modem.attach();
            Some(Ok(Vec::new()))
        }
    }
}

fn read(modem: &mut Modem, name: &str, form: &str) -> Result<Vec<String>, Refused> {
    let s = modem.settings.clone();
    let n = modem.scenario.network.clone();
    let (stat, cause) = modem.registration();
    let up = RegistrationStatus::of(stat) == RegistrationStatus::Registered;
    let on = s.functionality == 1;
    let line = |text: String| Ok(vec![text]);
    match (name, form) {
        ("", _) | ("Z" | "H", "") => Ok(Vec::new()),
        ("E0", _) => {
            modem.settings.echo = false;
            Ok(Vec::new())
        }
        ("E1" | "E", _) => {
            modem.settings.echo = true;
            Ok(Vec::new())
        }
        ("V0" | "V1" | "V", _) => {
            modem.settings.verbose = name == "V1";
            Ok(Vec::new())
        }
        ("Q0" | "Q1" | "Q", _) => {
            modem.settings.quiet = name == "Q1";
            Ok(Vec::new())
        }
        ("I", "") => Ok(vec!["Gauge Works".into(), "GW-40".into(), "Revision: GW40.1.7".into()]),
        ("+CGMI", "") => line("Gauge Works".into()),
        ("+CGMM", "") => line("GW-40".into()),
        ("+CGMR", "") => line("GW40.1.7".into()),
        ("+CGSN", "") => line(modem.scenario.modem.imei.clone()),
        ("+CMEE", "?") => line(format!("+CMEE: {}", s.errors)),
        ("+CFUN", "?") => line(response::number("+CFUN", s.functionality)),
        ("+CPIN", "?") => match (card(modem), s.card) {
            (Err(Some(14)), _) => card(modem).map(|()| Vec::new()),
            (_, CardState::Ready) => Ok(response::card(Sim::Ready).into_iter().collect()),
            (_, CardState::Pin) => Ok(response::card(Sim::PinRequired).into_iter().collect()),
            (_, CardState::Puk) => Ok(response::card(Sim::PukRequired).into_iter().collect()),
            _ => card(modem).map(|()| Vec::new()),
        },
        ("+CPINR", "") => Ok(response::attempts(s.tries).into_iter().collect()),
        ("+CIMI", "") => card(modem).and_then(|()| line(modem.scenario.card.imsi.clone())),
        ("+CCID" | "+ICCID", _) => match s.card {
            CardState::None | CardState::Failure | CardState::Busy => {
                card(modem).map(|()| Vec::new())
            }
            _ => line(format!("{name}: {}", modem.scenario.card.iccid)),
        },
        ("+CSQ", "") => line(if on && modem.hears() {
            response::strength_of(modem.level())
        } else {
            response::no_strength()
        }),
        ("+CESQ", "") => line(if on && modem.hears() {
            response::levels_of(n.rsrq_db, modem.level())
        } else {
            response::no_levels()
        }),
        ("+CREG" | "+CGREG" | "+CEREG", "?") => {
            modem.searched();
            let mode = s.reports.get(name).and_then(|mode| mode.parse().ok()).unwrap_or(0);
            let served = matches!(mode, 2 | 3) && stat != 0 && stat != 2;
            let domain = match name {
                "+CREG" => Domain::Circuit,
                "+CGREG" => Domain::Packet,
                _ => Domain::Eps,
            };
            let cause = cause.filter(|_| mode == 3 && domain == Domain::Eps && n.tells_cause);
            line(response::registration(domain, mode, stat, served, cause))
        }
        ("+COPS", "?") => line(match (s.choice, up) {
            (choice, true) => response::operator(choice, Some(&n.plmn)),
            (1, false) if modem.scenario.modem.shows_choice => {
                response::operator(1, Some(&s.chosen))
            }
            (choice, false) => response::operator(choice, None),
        }),
        ("+COPS", "=?") => line(if on && modem.hears() {
            response::search(&[&n.plmn])
        } else {
            response::search(&[])
        }),
        ("+CGATT", "?") => line(response::number("+CGATT", u8::from(up))),
        ("+CGDCONT", "?") => Ok(s
            .contexts
            .iter()
            .map(|(cid, (kind, name))| response::context(*cid, kind, name))
            .collect()),
        ("+CGACT", "?") => {
            Ok(s.contexts.keys().map(|cid| response::active(*cid, up && *cid == 1)).collect())
        }
        ("+CGPADDR", "") => {
            Ok(if up { vec![response::address(1, &n.address)] } else { Vec::new() })
        }
        ("+CEER", "") => line(match modem.last_esm {
            Some(cause) => format!("+CEER: ESM cause {cause}"),
            None => "+CEER: no cause information".into(),
        }),
        ("+CEMODE", "?") => line(response::number("+CEMODE", s.usage)),
        ("+WS46", "?") => line(response::number("+WS46", 31)),
        ("+CGAUTH", "?") => Ok(s
            .contexts
            .keys()
            .chain(s.logins.keys().filter(|cid| !s.contexts.contains_key(cid)))
            .map(|cid| {
                let login = s.logins.get(cid).map(|(protocol, user)| (*protocol, &**user));
                response::authentication(*cid, login)
            })
            .collect()),
        ("+CGCONTRDP", "") if up => line(response::given_to(1, &modem.tried_name, &n.address)),
        (_, "=?") => Ok(Vec::new()),
        _ => Err(Some(4)),
    }
}

fn set_value(
    modem: &mut Modem,
    name: &str,
    value: &str,
    sent: &str,
) -> Result<Vec<String>, Refused> {
    let done = Ok(Vec::new());
    match name {
        "+CMEE" => {
            modem.settings.errors = value.parse().ok().filter(|n| *n <= 2).ok_or(Some(50))?;
            done
        }
        "+CREG" | "+CGREG" | "+CEREG" => {
            if !matches!(value, "0" | "1" | "2" | "3") {
                return Err(Some(50));
            }
            if value == "0" {
                modem.settings.reports.remove(name);
            } else {
                modem.settings.reports.insert(name.into(), value.into());
            }
            done
        }
        "+CFUN" => {
            let row = fields(value, 0);
            let level = row.first().and_then(|f| f.small()).ok_or(Some(50))?;
            if row.get(1).is_some_and(|f| f.text == "1") {
                modem.restart(modem.scenario.modem.restart_ms);
                modem.go_silent();
            }
            if level == 1 && modem.settings.functionality != 1 {
                modem.search();
            }
            let goes_on = level == 1 && modem.settings.functionality != 1;
            modem.settings.functionality = level;
            if goes_on && modem.scenario.modem.restarts_at_full {
                modem.restart(modem.scenario.modem.restart_ms);
            }
            modem.attach();
            done
        }
        "+COPS" => {
            let row = fields(sent, 0);
            let mode = row.first().and_then(|f| f.small()).filter(|m| *m <= 4).ok_or(Some(50))?;
            if mode == 3 {
                return done;
            }
            modem.settings.choice = mode;
            row.get(2).map_or("", |f| f.text).clone_into(&mut modem.settings.chosen);
            modem.attach();
            done
        }
        "+CGATT" => {
            modem.settings.attach_wanted = value == "1";
            modem.attach();
            match (value, modem.registration().0) {
                ("1", 3) => Err(Some(148)),
                _ => done,
            }
        }
        "+CGACT" => {
            if RegistrationStatus::of(modem.registration().0) == RegistrationStatus::Registered {
                done
            } else {
                Err(Some(148))
            }
        }
        "+CGDCONT" if modem.scenario.modem.locks_contexts && modem.settings.functionality == 1 => {
            Err(Some(3))
        }
        "+CGDCONT" => {
            let row = fields(sent, 0);
            let cid = row.first().and_then(|f| f.small()).ok_or(Some(50))?;
            let text = |n: usize| row.get(n).map_or("", |f| f.text).to_owned();
            // A context is deleted by its number alone; any other form is whole or an error.
            let whole = row.len() == 1 && !sent.ends_with(',')
                || row.len() >= 3
                    && row[1].quoted
                    && row[2].quoted
                    && sent.matches('"').count().is_multiple_of(2);
            if !whole
                || cid == 0
                || cid > 16
                || row.len() > 1 && !["IP", "IPV6", "IPV4V6"].contains(&&*text(1))
            {
                return Err(Some(50));
            }
            if row.len() == 1 {
                modem.settings.contexts.remove(&cid);
            } else {
                modem.settings.contexts.insert(cid, (text(1), text(2)));
            }
            done
        }
        "+CGAUTH" => {
            let row = fields(sent, 0);
            let cid = row.first().and_then(|f| f.small()).ok_or(Some(50))?;
            let texts: Vec<&str> = row.iter().map(|f| f.text).collect();
            match texts.as_slice() {
                [_, "0"] | [_] => {
                    modem.settings.logins.remove(&cid);
                    modem.settings.passwords.remove(&cid);
                }
                // Without a password it is empty (TS 27.007 §10.1.31).
                [_, protocol, user, rest @ ..] if rest.len() < 2 => {
                    let protocol: u8 = protocol.parse().map_err(|_| Some(50))?;
                    modem.settings.logins.insert(cid, (protocol, (*user).to_owned()));
                    let password = rest.first().copied().unwrap_or_default().to_owned();
                    modem.settings.passwords.insert(cid, password);
                }
                _ => return Err(Some(50)),
            }
            done
        }
        "+CEMODE" => {
            modem.settings.usage = value.parse().map_err(|_| Some(50))?;
            done
        }
        "+CPIN" => {
            if modem.settings.card != CardState::Pin {
                return Err(Some(3));
            }
            if sent.trim().trim_matches('"') == modem.scenario.card.pin {
                modem.settings.card = CardState::Ready;
                modem.settings.tries = 3;
                modem.attach();
                return done;
            }
            modem.settings.tries = modem.settings.tries.saturating_sub(1);
            if modem.settings.tries == 0 {
                modem.settings.card = CardState::Puk;
            }
            Err(Some(16))
        }
        "+CPINR" => read(modem, name, ""),
        "+CGPADDR" => read(modem, name, ""),
        "+CRSM" => restricted(modem, sent),
        _ => Err(Some(4)),
    }
}

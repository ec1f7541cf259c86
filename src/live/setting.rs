//! A setting of the modem that a change touches: how it is read, what it may be, how it is written.
//!
//! A setting is read until two reads in a row agree, and a response counts only where every one of
//! its lines has the form of its clause; what is built on a wrong read would be a wrong undo.

use super::agreed::agreed;
use super::refusal::Refusal;
use super::strict::{one_of_rows, only, small, whole_fields};
use crate::at::{Client, CommandResponse};
use crate::response::Field;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A setting.
#[derive(Clone, Debug, Serialize, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "kebab-case", tag = "kind")]
pub enum Setting {
    /// A context (TS 27.007 §10.1.1): `"IP","name"`, empty where it is not defined.
    Context {
        /// Its number.
        context: u8,
    },
    /// The login of a context (TS 27.007 §10.1.31): `0`, or protocol and user.
    Login {
        /// The context's number.
        context: u8,
    },
    /// Functionality level (TS 27.007 §8.2).
    Functionality,
    /// Network choice (TS 27.007 §7.3): `0`, `2`, or mode, format and network.
    Network,
    /// The card's list of forbidden networks, EF_FPLMN (TS 31.102 §4.2.16), as hexadecimal digits.
    Forbidden,
    /// Usage setting (TS 27.007 §10.1.30).
    Usage,
    /// A setting under a vendor's command.
    Vendor {
        /// The command that reads it, with `AT`.
        read: String,
        /// What stands before its value in a command that writes it, with `AT`.
        write: String,
        /// What stands behind its value there.
        #[serde(default)]
        behind: String,
    },
}

impl Setting {
    /// The command that reads it.
    pub fn read_command(&self) -> &str {
        match self {
            Self::Context { .. } => "AT+CGDCONT?",
            Self::Login { .. } => "AT+CGAUTH?",
            Self::Functionality => "AT+CFUN?",
            Self::Network => "AT+COPS?",
            Self::Forbidden => "AT+CRSM=176,28539,0,0,12",
            Self::Usage => "AT+CEMODE?",
            Self::Vendor { read, .. } => read,
        }
    }

    /// Reads it until two reads in a row agree.
    ///
    /// # Errors
    ///
    /// [`Refusal::Unreadable`] where they never do; the line's own errors.
    pub fn read(&self, client: &mut Client<'_>) -> Result<String, Refusal> {
        let command = self.read_command();
        let value = |r: &CommandResponse| if r.is_ok() { self.value(r) } else { None };
        agreed(client, command, value)?.ok_or_else(|| Refusal::Unreadable(command.to_owned()))
    }

    /// Its value in a response; `None` where the response does not have the form of its clause.
    pub fn value(&self, response: &CommandResponse) -> Option<String> {
        match self {
            Self::Context { context } => one_of_rows(response, "+CGDCONT", *context, context_value)
                .map(Option::unwrap_or_default),
            Self::Login { context } => one_of_rows(response, "+CGAUTH", *context, login_value)
                .map(|found| found.unwrap_or_else(|| "0".into())),
            Self::Functionality => only(response, "+CFUN").and_then(|v| small(v, 1)),
            Self::Usage => only(response, "+CEMODE").and_then(|v| small(v, 1)),
            Self::Network => network_value(only(response, "+COPS")?),
            Self::Forbidden => {
                let row = whole_fields(only(response, "+CRSM")?)?;
                let [status, _, digits] = row.as_slice() else { return None };
                let whole = status.text == "144"
                    && digits.text.len() == 24
                    && digits.text.bytes().all(|b| b.is_ascii_hexdigit());
                whole.then(|| digits.text.to_ascii_uppercase())
            }
            Self::Vendor { read, .. } => {
                let body = read.strip_prefix("AT")?;
                let (prefix, key) = match body.split_once('=') {
                    Some(parts) => parts,
                    None => (body.strip_suffix('?')?, ""),
                };
                let value = only(response, prefix)?;
                let value = match key.trim_matches('"') {
                    "" => value,
                    key => value.strip_prefix('"')?.strip_prefix(key)?.strip_prefix("\",")?,
                };
                // A byte that the line changed is none of ASCII, or no mark that may be printed.
                let whole = !value.is_empty() && value.bytes().all(|b| matches!(b, 0x20..=0x7e));
                whole.then(|| value.to_owned())
            }
        }
    }

    /// The command that gives it a value; `None` where it cannot be given it.
    pub fn write(&self, value: &str) -> Option<String> {
        Some(match self {
            Self::Context { context } if value.is_empty() => format!("AT+CGDCONT={context}"),
            Self::Context { context } => format!("AT+CGDCONT={context},{value}"),
            // A password cannot be read, so a login can only be taken away.
            Self::Login { context } if value == "0" => format!("AT+CGAUTH={context},0"),
            Self::Login { .. } => return None,
            Self::Functionality => format!("AT+CFUN={value}"),
            // A mode by name cannot be told from another network of the same name.
            Self::Network if value.starts_with("1,") && !value.starts_with("1,2,") => return None,
            Self::Network => format!("AT+COPS={value}"),
            Self::Forbidden => format!("AT+CRSM=214,28539,0,0,12,\"{value}\""),
            Self::Usage => format!("AT+CEMODE={value}"),
            Self::Vendor { write, behind, .. } => format!("{write}{value}{behind}"),
        })
    }

    /// The setting that a command of an undo file sets, and its value.
    pub fn of_command(command: &str) -> Option<(Self, String)> {
        let body = command.strip_prefix("AT")?;
        let (name, value) = body.split_once('=')?;
        let vendor = |read: String, write: &str, value: &str, behind: &str| {
            let setting = Self::Vendor { read, write: write.to_owned(), behind: behind.to_owned() };
            Some((setting, value.to_owned()))
        };
        match name {
            "+CGDCONT" => {
                let (context, rest) = value.split_once(',').unwrap_or((value, ""));
                Some((Self::Context { context: context.parse().ok()? }, rest.to_owned()))
            }
            "+CGAUTH" => {
                let (context, rest) = value.split_once(',')?;
                (rest == "0").then_some(())?;
                Some((Self::Login { context: context.parse().ok()? }, rest.to_owned()))
            }
            "+CFUN" => Some((Self::Functionality, value.to_owned())),
            "+COPS" => Some((Self::Network, value.to_owned())),
            "+CEMODE" => Some((Self::Usage, value.to_owned())),
            "+CRSM" => {
                let digits = value.strip_prefix("214,28539,0,0,12,")?;
                Some((Self::Forbidden, digits.trim_matches('"').to_owned()))
            }
            "+CNMP" | "+WS46" => vendor(format!("AT{name}?"), &format!("AT{name}="), value, ""),
            "+CBANDCFG" => vendor(format!("AT{name}?"), &format!("AT{name}="), value, ""),
            "+QNWPREFCFG" | "+QCFG" => {
                let (key, rest) = value.split_once(',')?;
                let (rest, behind) = match (key, rest.strip_suffix(",1")) {
                    ("\"nwscanmode\"", Some(rest)) => (rest, ",1"),
                    _ => (rest, ""),
                };
                let read = format!("AT{name}={key}");
                vendor(read.clone(), &format!("{read},"), rest, behind)
            }
            _ => None,
        }
    }

    /// Its name for people.
    pub fn name(&self) -> String {
        match self {
            Self::Context { context } => format!("context {context}"),
            Self::Login { context } => format!("the login of context {context}"),
            Self::Functionality => "the functionality level".into(),
            Self::Network => "the network choice".into(),
            Self::Forbidden => "the card's list of forbidden networks".into(),
            Self::Usage => "the usage setting".into(),
            Self::Vendor { read, .. } => read.trim_end_matches('?').to_owned(),
        }
    }
}

/// Every defined context, read until two reads in a row agree.
pub(super) fn contexts(client: &mut Client<'_>) -> Result<BTreeMap<u8, String>, Refusal> {
    all_of(client, "AT+CGDCONT?", "+CGDCONT", |context| Setting::Context { context })
}

/// The login of every context, read until two reads in a row agree.
pub(super) fn logins(client: &mut Client<'_>) -> Result<BTreeMap<u8, String>, Refusal> {
    all_of(client, "AT+CGAUTH?", "+CGAUTH", |context| Setting::Login { context })
}

fn all_of(
    client: &mut Client<'_>,
    command: &str,
    prefix: &str,
    setting: fn(u8) -> Setting,
) -> Result<BTreeMap<u8, String>, Refusal> {
    let all = |response: &CommandResponse| {
        let numbers = response.rows(prefix).filter_map(|row| row.first()?.small());
        numbers
            .map(|number| Some((number, setting(number).value(response)?)))
            .collect::<Option<BTreeMap<u8, String>>>()
            .filter(|_| response.is_ok())
    };
    agreed(client, command, all)?.ok_or_else(|| Refusal::Unreadable(command.to_owned()))
}

/// `<type>,<name>` of a context, and what stands behind them where it is not the default.
fn context_value(row: &[Field<'_>]) -> Option<String> {
    let [kind, name, rest @ ..] = row else { return None };
    let known = ["IP", "IPV6", "IPV4V6", "PPP", "NON-IP", "ETHERNET", "UNSTRUCTURED"];
    if !kind.quoted || !name.quoted || !known.contains(&&*kind.text.to_ascii_uppercase()) {
        return None;
    }
    // The third field is the address that the network gave, or none: it is not the user's setting
    // since release 8, and changes with every session.
    let defaults = rest.iter().skip(1).all(|f| matches!(f.text, "" | "0"));
    let mut value = format!("\"{}\",\"{}\"", kind.text, name.text);
    if !defaults {
        value.push_str(",\"\"");
        for field in rest.iter().skip(1) {
            value.push_str(&if field.quoted {
                format!(",\"{}\"", field.text)
            } else {
                format!(",{}", field.text)
            });
        }
    }
    Some(value)
}

/// `0`, or protocol and user.
fn login_value(row: &[Field<'_>]) -> Option<String> {
    let protocol = row.first().filter(|f| !f.quoted)?.small()?;
    match (protocol, &row[1..]) {
        // What stands behind it counts for nothing without authentication.
        (0, _) => Some("0".into()),
        // The password stands behind it in some modems; whether it is right is asked elsewhere.
        (1..=3, [user] | [user, _]) if user.quoted => Some(format!("{protocol},\"{}\"", user.text)),
        _ => None,
    }
}

/// `0`, `2`, or mode, format and network; the technology in use is no part of the setting.
fn network_value(value: &str) -> Option<String> {
    let row = whole_fields(value)?;
    let mode = row.first().filter(|f| !f.quoted)?.small()?;
    match (mode, row.get(1), row.get(2)) {
        (0, ..) => Some("0".into()),
        (2, ..) => Some("2".into()),
        (1 | 4, Some(format), Some(network)) if network.quoted => {
            Some(format!("1,{},\"{}\"", format.small()?, network.text))
        }
        // By hand, and the network is not given while it is searched for.
        (1 | 4, ..) => Some("1,".into()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::at::ResultCode;

    fn of(lines: &[&str]) -> CommandResponse {
        let lines = lines.iter().map(|l| (*l).to_owned()).collect();
        CommandResponse { lines, result: ResultCode::Ok }
    }

    #[test]
    fn a_damaged_row_is_no_missing_context() {
        let context = Setting::Context { context: 1 };
        let whole =
            ["+CGDCONT: 1,\"IP\",\"gauge.example\",\"192.0.2.44\",0,0", "+CGDCONT: 2,\"IP\",\"\""];
        assert_eq!(context.value(&of(&whole)).unwrap(), "\"IP\",\"gauge.example\"");
        assert_eq!(context.value(&of(&[])).unwrap(), "");
        for damaged in [
            "+CGDONT: 1,\"IP\",\"gauge.example\"",
            "CGDCONT: 1,\"IP\",\"gauge.example\"",
            "+CGDCONT: 1,\"P\",\"gauge.example\"",
            "+CGDCONT: ,\"IP\",\"gauge.example\"",
            "+CGDCONT: 1,\"IP\"",
            "+CGDCON",
        ] {
            assert_eq!(context.value(&of(&[damaged])), None, "{damaged}");
        }
        // What comes by itself in between takes nothing away.
        let between = of(&["+CEREG: 5", whole[0]]);
        assert_eq!(context.value(&between).unwrap(), "\"IP\",\"gauge.example\"");
    }

    #[test]
    fn what_is_not_the_default_is_kept() {
        let context = Setting::Context { context: 3 };
        let row = "+CGDCONT: 3,\"IPV4V6\",\"gauge.example\",\"\",0,0,0,1";
        let value = context.value(&of(&[row])).unwrap();
        assert_eq!(
            context.write(&value).unwrap(),
            "AT+CGDCONT=3,\"IPV4V6\",\"gauge.example\",\"\",0,0,0,1"
        );
        assert_eq!(context.write("").unwrap(), "AT+CGDCONT=3");
    }

    #[test]
    fn every_write_is_read_back_as_its_setting_and_value() {
        let vendor = |read: &str, write: &str, behind: &str| Setting::Vendor {
            read: read.into(),
            write: write.into(),
            behind: behind.into(),
        };
        for (setting, value) in [
            (Setting::Context { context: 1 }, "\"IP\",\"gauge.example\""),
            (Setting::Context { context: 7 }, ""),
            (Setting::Login { context: 1 }, "0"),
            (Setting::Functionality, "4"),
            (Setting::Network, "1,2,\"99901\""),
            (Setting::Forbidden, "FFFFFFFFFFFFFFFFFFFFFFFF"),
            (Setting::Usage, "3"),
            (vendor("AT+CNMP?", "AT+CNMP=", ""), "38"),
            (vendor("AT+QCFG=\"band\"", "AT+QCFG=\"band\",", ""), "0x93,0x80041,0x0"),
            (vendor("AT+QCFG=\"nwscanmode\"", "AT+QCFG=\"nwscanmode\",", ",1"), "3"),
        ] {
            let command = setting.write(value).unwrap();
            assert_eq!(
                Setting::of_command(&command),
                Some((setting, value.to_owned())),
                "{command}"
            );
        }
    }

    #[test]
    fn the_network_choice_is_the_setting_and_not_the_network_in_use() {
        let value = |line: &str| Setting::Network.value(&of(&[line])).unwrap();
        assert_eq!(value("+COPS: 0,2,\"00101\",7"), "0");
        assert_eq!(value("+COPS: 1,2,\"99901\",7"), "1,2,\"99901\"");
        assert_eq!(Setting::Network.write("1,"), None);
        assert_eq!(Setting::Network.write("1,0,\"Ember Mobile\""), None);
    }
}

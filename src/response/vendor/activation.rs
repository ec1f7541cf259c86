//! Vendor commands that open a data session, and where the values stand that mean "open"; common practice, no source.

/// A command, and the fields that must have these values for it to open a session.
const COMMANDS: &[(&str, &[(usize, &str)])] = &[
    ("+CIICR", &[]),
    ("+SAPBR", &[(0, "1")]),
    ("+QIACT", &[]),
    ("+QIACTEX", &[]),
    ("+CNACT", &[(1, "1")]),
    ("#SGACT", &[(1, "1")]),
    ("!SCACT", &[(0, "1")]),
    ("+XACTIVATE", &[]),
    ("$QCRMCALL", &[(0, "1")]),
    ("^NDISDUP", &[(1, "1")]),
    ("^NDISCONN", &[(1, "1")]),
    ("+NETOPEN", &[]),
    ("+QNETDEVCTL", &[(0, "1")]),
    ("+UPSDA", &[(1, "3")]),
    ("+KCNXUP", &[]),
    ("+GTRNDIS", &[(0, "1")]),
    ("+ZGACT", &[(0, "1")]),
    ("+ECMDUP", &[(1, "1")]),
    // From memory.
    ("+MIPCALL", &[(0, "1")]),
    ("+ZIPCALL", &[(0, "1")]),
    ("+XIIC", &[(0, "1")]),
    ("#GPRS", &[(0, "1")]),
];

/// Whether a command, without its `AT`, opens a data session.
pub(crate) fn opens(command: &str) -> bool {
    if command.ends_with('?') {
        return false;
    }
    let (name, values) = command.split_once('=').unwrap_or((command, ""));
    let name = name.trim();
    let Some((known, wanted)) = COMMANDS.iter().find(|(n, _)| n.eq_ignore_ascii_case(name)) else {
        return false;
    };
    let fields: Vec<&str> = values.split(',').map(str::trim).collect();
    // An older form has the state first and the name of the access point behind it: `=1,"name"`.
    if *known == "+CNACT" && fields.get(1).is_some_and(|f| f.starts_with('"')) {
        return fields[0] == "1";
    }
    wanted.iter().all(|(n, value)| fields.get(*n) == Some(value))
}

#[cfg(test)]
mod tests {
    use super::opens;

    #[test]
    fn a_command_that_opens_is_told_from_one_that_closes() {
        for command in [
            "+CNACT=0,1",
            "+CNACT=1,\"net.example\"",
            "#SGACT=1,1",
            "^NDISDUP=1,1",
            "+NETOPEN",
            "+QIACT=1",
        ] {
            assert!(opens(command), "{command}");
        }
        for command in [
            "+CNACT=0,0",
            "+CNACT=0",
            "#SGACT=1,0",
            "^NDISDUP=1,0",
            "+NETOPEN?",
            "!SCACT=0,1",
            "+SAPBR=2,1",
        ] {
            assert!(!opens(command), "{command}");
        }
    }
}

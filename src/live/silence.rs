//! What became of a line on which no modem answers: what was sent, at which speeds, and what came instead.

/// What was sent and what came, in sentences, from the recording of a run that no modem answered.
pub fn silence(recorded: &str) -> String {
    let behind =
        |mark: &'static str| recorded.lines().filter_map(move |l| Some(l.split_once(mark)?.1));
    let commands: Vec<&str> = behind("] > ").collect();
    let speeds: Vec<&str> = recorded.lines().filter_map(|l| l.strip_prefix("-- speed ")).collect();
    let times = commands.len();
    let at = match speeds.as_slice() {
        [] => String::new(),
        several => format!(", then at {} Bd", several.join(", ")),
    };
    let echoes = |line: &&str| commands.iter().any(|command| command.trim() == line.trim());
    let came = behind("] < ").chain(behind("-- without an end: ")).find(|line| !echoes(line));
    let came = match came {
        Some(line) if line.contains('\u{fffd}') => {
            "What came is noise, as from a port of another kind or at another speed.".to_owned()
        }
        Some(line) => format!(
            "What came is no answer of a modem: {:?}. It is a port of another kind, or at another speed.",
            line.trim().chars().take(60).collect::<String>()
        ),
        None => "Nothing came back.".to_owned(),
    };
    format!("Sent: AT, {times} times{at}. {came}")
}

#[cfg(test)]
mod tests {
    use super::silence;

    #[test]
    fn what_was_sent_and_what_came_is_said() {
        let silent = "[12:00:00.000] > AT\n-- no answer within the time\n-- speed 9600\n[12:00:01.000] > AT\n\
                      -- speed 115200\n[12:00:02.000] > ATQ0\n";
        assert_eq!(
            silence(silent),
            "Sent: AT, 3 times, then at 9600, 115200 Bd. Nothing came back."
        );
        let prompt = "[12:00:00.000] > AT\n-- without an end: gauge login:\n";
        assert!(silence(prompt).contains("no answer of a modem: \"gauge login:\""));
        let other = "[12:00:00.000] > AT\n[12:00:00.000] < AT\n[12:00:00.100] < $GPGGA,,*00\n";
        assert!(silence(other).contains("$GPGGA"), "{}", silence(other));
        assert!(silence("[12:00:00.000] > AT\n[12:00:00.100] < \u{fffd}~\n").contains("noise"));
    }
}

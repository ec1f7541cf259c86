//! What the values of a printed response mean, field by field: `+CEREG: 0,3`, `creg 3`, `+CFUN: 4`.

use super::{Answer, cause};
use crate::reference::causes::CauseList;
use crate::reference::commands::{self, Command};

/// The command whose words count where another one's table leaves a field of the same name out: `+CEREG` reports
/// access technologies, and `+CREG` lists them.
const GENERAL: &str = "+CREG";

/// The values of a response of a command in the table; empty where the text is none, or where no field of it has a
/// meaning there.
pub(super) fn values(text: &str) -> Vec<Answer> {
    let text = text.trim();
    let plain = text.strip_prefix("AT").unwrap_or(text);
    let Some((name, body)) = plain.split_once([':', ' ', '=']) else { return Vec::new() };
    let Some(command) = commands::named(name).into_iter().next() else { return Vec::new() };
    let numbers: Vec<&str> = body.split(',').map(|f| f.trim().trim_matches('"')).collect();
    let fields = fields(command);
    // An unsolicited line has no report mode: a lone number is the state.
    let skip =
        usize::from(numbers.len() == 1 && fields.first() == Some(&"<n>") && fields.len() > 1);
    let said: Vec<(&str, &str, &str)> = fields
        .iter()
        .skip(skip)
        .zip(&numbers)
        .filter_map(|(field, number)| Some((*field, *number, meaning(command, field, number)?)))
        .collect();
    // A line with a state is about the state, any other about its last field that has a meaning.
    let about = if fields.contains(&"<stat>") {
        said.iter().find(|(field, ..)| *field == "<stat>")
    } else {
        said.last()
    };
    let Some((_, number, words)) = about else {
        return Vec::new();
    };
    let name = command.name;
    let answer = said.iter().fold(
        Answer::new("values", text, format!("{name} {number}: {words}")).field("name", name),
        |answer, (field, number, words)| answer.line(*field, format!("{number} {words}")),
    );
    let mut found = vec![answer.source(command.source)];
    found.extend(reject(name, &fields, &numbers));
    found
}

/// The network's cause at the end of a registration line, where its type says that it is one of the standard's.
fn reject(name: &str, fields: &[&str], numbers: &[&str]) -> Vec<Answer> {
    let list = match name {
        "+CREG" => CauseList::Mm,
        "+CGREG" => CauseList::Gmm,
        "+CEREG" => CauseList::Emm,
        "+C5GREG" => CauseList::FiveGmm,
        _ => return Vec::new(),
    };
    let at = |field| fields.iter().position(|f| *f == field).and_then(|at| numbers.get(at));
    match (at("<cause_type>"), at("<reject_cause>")) {
        (Some(&"0"), Some(number)) => cause(Some(list), number).unwrap_or_default(),
        _ => Vec::new(),
    }
}

/// The names of the fields of a response, in order.
fn fields(command: &Command) -> Vec<&'static str> {
    let form = command.reply.split(" ; ").next().unwrap_or_default();
    let body = form.split_once(':').map_or(form, |(_, body)| body);
    body.split(',').map(|f| f.trim_matches(['[', ']', ' '])).filter(|f| !f.is_empty()).collect()
}

/// The words for a number in a field.
fn meaning(command: &Command, field: &str, number: &str) -> Option<&'static str> {
    if number.is_empty() {
        return None;
    }
    let own = |command: &Command| {
        let named = command.values.iter().find_map(|v| v.strip_prefix(field)?.strip_prefix(':'));
        // A list without a name is that of the last field.
        let alone = || {
            let last = fields(command).last() == Some(&field);
            command.values.iter().copied().find(|v| last && !v.starts_with('<'))
        };
        named.or_else(alone).and_then(|list| of_list(list, number))
    };
    own(command).or_else(|| commands::named(GENERAL).into_iter().find_map(own))
}

/// The words behind a number in `0 off; 1 on; 5-127 other`.
fn of_list(list: &'static str, number: &str) -> Option<&'static str> {
    let number: u32 = number.parse().ok()?;
    list.split(';').find_map(|entry| {
        let (value, words) = entry.trim().split_once(' ')?;
        let fits = match value.split_once('-') {
            Some((low, high)) => (low.parse().ok()?..=high.parse().ok()?).contains(&number),
            None => value.parse::<u32>().is_ok_and(|v| v == number),
        };
        (fits && !words.starts_with("as +")).then_some(words)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn title(text: &str) -> String {
        values(text).into_iter().next().map(|a| a.title).unwrap_or_default()
    }

    #[test]
    fn a_response_is_explained_field_by_field() {
        // TS 27.007 §7.2, §8.2, §10.1.9, §10.1.10, §10.1.47.
        assert_eq!(title("+CEREG: 0,3"), "+CEREG 3: registration denied");
        assert_eq!(title("creg 5"), "+CREG 5: registered, roaming");
        assert_eq!(title("+CGREG: 2"), "+CGREG 2: not registered, searching or trying to attach");
        assert_eq!(title("+CFUN: 4"), "+CFUN 4: transmit and receive off");
        assert_eq!(title("+CGATT: 0"), "+CGATT 0: detached");
        assert_eq!(title("+CGACT: 1,0"), "+CGACT 0: inactive");
        assert_eq!(title("+C5GREG: 0,1,\"0A11\",\"0\",11"), "+C5GREG 1: registered, home");
    }

    #[test]
    fn the_networks_cause_has_an_answer_of_its_own() {
        let found = values("+CEREG: 3,3,\"0A11\",\"0003A2B1\",7,0,15");
        assert_eq!(found.len(), 2);
        assert!(found[1].title.starts_with("EMM cause 15"), "{}", found[1].title);
        assert_eq!(values("+CEREG: 3,3,,,,1,15").len(), 1, "a vendor's own number");
    }

    #[test]
    fn other_words_are_no_response() {
        for text in ["", "creg", "+CEREG: x", "+CEREG: 0,200", "band 20", "nosuch 1"] {
            assert!(values(text).is_empty(), "{text}");
        }
    }
}

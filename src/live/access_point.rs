//! The access point of a context, with its login: what is, what will be, and the way back.

use super::amend::{Amendment, Login, Refusal, ask, plain};
use crate::at::Client;

/// Reads the context that stands now and says what the change would do.
pub(super) fn plan(
    client: &mut Client<'_>,
    context: u8,
    name: &str,
    address: &str,
    login: Option<&Login>,
) -> Result<Amendment, Refusal> {
    if let Err(error) = crate::carrier::access_point_name::check(name) {
        return Err(Refusal::Impossible(format!(
            "`{}` is no access point name (TS 23.003 9.1): {error}",
            crate::sanitize::plain(name)
        )));
    }
    if !["IP", "IPV6", "IPV4V6"].contains(&address) {
        return Err(Refusal::Impossible("the address type is IP, IPV6 or IPV4V6".into()));
    }
    let answer = ask(client, "AT+CGDCONT?")?;
    let stored = answer.rows("+CGDCONT").find_map(|row| {
        let field = |n: usize| row.get(n).map_or("", |f| f.text).to_owned();
        (row.first()?.small() == Some(context)).then(|| (field(1), field(2)))
    });
    let set = |kind: &str, name: &str| format!("AT+CGDCONT={context},\"{kind}\",\"{name}\"");
    let (now, undo) = match &stored {
        Some((kind, old))
            if old == name && kind.eq_ignore_ascii_case(address) && login.is_none() =>
        {
            return Err(Refusal::Already(format!(
                "context {context} has this name and address type"
            )));
        }
        Some((kind, old)) => (format!("context {context}: \"{old}\", {kind}"), set(kind, old)),
        None => (format!("context {context} is not defined"), format!("AT+CGDCONT={context}")),
    };
    // The name counts from the next attach on; the radio off and on makes one.
    let attach = ["AT+CFUN=4", "AT+CFUN=1"];
    let with_attach = |first: String| {
        std::iter::once(first).chain(attach.iter().map(|a| (*a).to_owned())).collect()
    };
    let mut amendment = plain(
        now,
        format!("context {context}: \"{name}\", {address}, then a fresh attach"),
        "the access point name or address type is not the one that the carrier wants",
        with_attach(set(address, name)),
        with_attach(undo),
    );
    if let Some(login) = login {
        log_in(client, context, login, &mut amendment)?;
    }
    Ok(amendment)
}

/// Puts the login before the attach; what is undone is whether there is one at all, because a
/// former password cannot be read back everywhere and belongs in no file.
fn log_in(
    client: &mut Client<'_>,
    context: u8,
    login: &Login,
    amendment: &mut Amendment,
) -> Result<(), Refusal> {
    let plain_text =
        |t: &str| !t.is_empty() && t.bytes().all(|b| matches!(b, 0x20..=0x7e) && b != b'"');
    if !plain_text(&login.user) || !plain_text(&login.password) {
        return Err(Refusal::Impossible(
            "user name and password are printable ASCII without quotes".into(),
        ));
    }
    let answer = ask(client, "AT+CGAUTH?")?;
    let protocol = answer.rows("+CGAUTH").find_map(|row| {
        (row.first()?.small() == Some(context)).then(|| row.get(1).is_some_and(|f| f.text == "0"))
    });
    if protocol == Some(false) {
        amendment.now.push_str("; a user name is set there, whose password cannot be put back");
    }
    let word = if login.protocol == 1 { "PAP" } else { "CHAP" };
    amendment.then.push_str(&format!(", user {} by {word}", login.user));
    let set = |password: &str| {
        format!("AT+CGAUTH={context},{},\"{}\",\"{password}\"", login.protocol, login.user)
    };
    amendment.commands.insert(1, set(&login.password));
    amendment.shown.insert(1, set("****"));
    amendment.undo.insert(1, format!("AT+CGAUTH={context},0"));
    Ok(())
}

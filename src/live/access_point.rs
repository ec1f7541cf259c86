//! The access point of a context, with its login: what is, what will be, and the way back.

use super::altered::Altered;
use super::amend::{Amendment, Login, Step};
use super::refusal::Refusal;
use super::setting::Setting;
use crate::at::Client;
use crate::response::fields;

/// The address type of a context that is not defined yet.
const USUAL: &str = "IPV4V6";

/// Reads the context as it is set and says what the change would do. The address type stays as it is
/// where none is named.
pub(super) fn plan(
    client: &mut Client<'_>,
    context: u8,
    name: &str,
    address: Option<&str>,
    login: Option<&Login>,
) -> Result<Amendment, Refusal> {
    if let Err(error) = crate::carrier::access_point_name::check(name) {
        return Err(Refusal::Impossible(format!(
            "`{}` is no access point name (TS 23.003 9.1): {error}",
            crate::sanitize::plain(name)
        )));
    }
    if !(1..=16).contains(&context) {
        return Err(Refusal::Impossible("a context has a number from 1 to 16".into()));
    }
    if address.is_some_and(|a| !["IP", "IPV6", "IPV4V6"].contains(&a)) {
        return Err(Refusal::Impossible("the address type is IP, IPV6 or IPV4V6".into()));
    }
    let setting = Setting::Context { context };
    let before = setting.read(client)?;
    let row = fields(&before, 0);
    let old = |n: usize| row.get(n).map_or("", |f| f.text);
    let defined = !before.is_empty();
    let address = address.unwrap_or(if defined { old(0) } else { USUAL });
    // What is set behind the name is none of this change's business.
    let behind: String = before.splitn(3, ',').nth(2).map_or_else(String::new, |r| format!(",{r}"));
    let after = format!("\"{address}\",\"{name}\"{behind}");
    if after.eq_ignore_ascii_case(&before) && login.is_none() {
        return Err(Refusal::Already(format!("context {context} has this name and address type")));
    }
    let now = if defined {
        format!("context {context}: \"{}\", {}", old(1), old(0))
    } else {
        format!("context {context} is not defined")
    };
    // The name counts from the next attach on; the radio off and on makes one.
    let mut amendment = Amendment::one(setting, before.clone(), &after, now)
        .becoming(&format!("context {context}: \"{name}\", {address}, then a fresh attach"))
        .with_attach()
        .because("the access point name or address type is not the one that the carrier wants")?;
    if let Some(login) = login {
        log_in(client, context, login, &mut amendment)?;
    }
    Ok(amendment)
}

/// Puts the login before the attach. A former password cannot be read back and belongs in no file:
/// the way back takes the login away, and where there was one before there is no way back.
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
    let setting = Setting::Login { context };
    let before = setting.read(client)?;
    if before != "0" {
        amendment.now.push_str(&format!(
            "; a login is set there ({before}), whose password cannot be put back"
        ));
    }
    let word = if login.protocol == 1 { "PAP" } else { "CHAP" };
    amendment.then.push_str(&format!(", user {} by {word}", login.user));
    let set = |password: &str| {
        format!("AT+CGAUTH={context},{},\"{}\",\"{password}\"", login.protocol, login.user)
    };
    let after = format!("{},\"{}\"", login.protocol, login.user);
    amendment.altered.push(Altered { setting, before, after: Some(after) });
    amendment.steps.push(Step {
        command: set(&login.password),
        shown: set("****"),
        secret: Some(login.password.clone()),
    });
    Ok(())
}

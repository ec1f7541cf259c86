//! The desk as a browser meets it: a text explained, followed up, saved, kept in a ticket; look-ups and rules.
//!
//! Who is let in, the limits and hostile pastes are in `desk/safety.rs`; a real browser drives it in `tests/outside`.

#[path = "desk/running.rs"]
mod running;
#[path = "desk/safety.rs"]
mod safety;

use running::Desk;

#[test]
fn a_text_is_explained_followed_up_and_saved() {
    let desk = Desk::open();
    let token = desk.token();
    let text = "AT+CIMI\r\n001010123456789\r\nOK\r\nAT+CEREG?\r\n+CEREG: 0,3\r\nOK\r\n\u{1b}[31m50% <b>\"x\"\r\n";
    let (status, _, page) = desk.post(&[("token", &token), ("text", text)]);
    assert_eq!(status, 200);
    assert!(page.contains("registration/denied") && page.contains("class=\"cause\""), "{page}");
    assert!(!page.contains('\u{1b}') && !page.contains("<b>\"x\""), "{page}");
    let carried =
        page.split("name=\"carried\" value=\"").nth(1).unwrap().split('"').next().unwrap();
    let carried = carried
        .replace("&quot;", "\"")
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&amp;", "&");
    let answer = "AT+CEREG=3\nOK\nAT+CEREG?\n+CEREG: 3,3,,,,0,8\nOK\n";
    let fields = [("token", &*token), ("carried", &*carried), ("answer", answer)];
    let (_, _, page) = desk.post(&fields);
    assert!(
        page.contains("registration/subscriber") && page.contains("What the answer changed"),
        "{page}"
    );
    for (form, holds) in [
        ("html", "<!DOCTYPE html>"),
        ("markdown", "## "),
        ("message", "Hello,"),
        ("redacted", "AT+CIMI"),
    ] {
        let (status, head, body) = desk.post(&[&fields[..], &[("form", form)]].concat());
        assert_eq!(status, 200);
        assert!(
            head.contains("content-disposition: attachment") && body.contains(holds),
            "{form}: {body}"
        );
        assert!(!body.contains("001010123456789"), "{form}");
    }
}

#[test]
fn look_ups_and_rules_are_there() {
    let desk = Desk::open();
    let (status, _, page) = desk.get("/lookup?q=band+20");
    assert!(status == 200 && page.contains("band 20"), "{page}");
    let (status, _, page) = desk.get("/rules/card/pin-required");
    assert!(status == 200 && page.contains("<h1>Does the SIM wait for its PIN?</h1>"), "{page}");
    assert_eq!(desk.get("/rules/card/none").0, 404);
    assert_eq!(desk.get("/none").0, 404);
    assert!(desk.get("/style.css").2.contains("--paper"));
    // What the verdict links to has an answer.
    let token = desk.token();
    let text = "AT+CEREG?\n+CEREG: 3,3,,,,0,15\nOK\n";
    let (_, _, page) = desk.post(&[("token", &token), ("text", text)]);
    let link = page.split("href=\"/lookup?q=").nth(1).unwrap().split('"').next().unwrap();
    let (status, _, entry) = desk.get(&format!("/lookup?q={link}"));
    assert!(status == 200 && entry.contains("EMM cause 15"), "{link}: {entry}");
}

#[test]
fn a_ticket_is_kept_grows_and_is_closed() {
    let folder = tempfile::tempdir().unwrap();
    let desk = Desk::with(&["--tickets", folder.path().to_str().unwrap()]);
    let token = desk.token();
    let first = "AT+CIMI\n001010123456789\nOK\nAT+CEREG?\n+CEREG: 0,3\nOK\n";
    let kept = [("token", &*token), ("text", first), ("ticket", "T-1"), ("site", "Alder Ford")];
    let (status, head, _) = desk.post_to("/tickets", &kept);
    assert!(status == 303 && head.contains("location: /tickets/t-1"), "{head}");
    let answer = "AT+CEREG=3\nOK\nAT+CEREG?\n+CEREG: 3,3,,,,0,8\nOK\n";
    let added = desk.post_to("/tickets/T-1", &[("token", &token), ("answer", answer)]);
    assert_eq!(added.0, 303);
    let (status, _, page) = desk.get("/tickets/T-1");
    assert_eq!(status, 200);
    for part in
        ["Alder Ford", "registration/subscriber", "Answered: AT+CEREG=3", "What the answer changed"]
    {
        assert!(page.contains(part), "{part}: {page}");
    }
    for entry in std::fs::read_dir(folder.path().join("T-1")).unwrap() {
        let text = std::fs::read_to_string(entry.unwrap().path()).unwrap();
        assert!(!text.contains("001010123456789"), "{text}");
    }
    assert!(desk.get("/tickets").2.contains("/tickets/T-1"));
    let note = [("token", &*token), ("text", "the subscription <b>had ended</b>")];
    assert_eq!(desk.post_to("/tickets/T-1/close", &note).0, 303);
    let page = desk.get("/tickets").2;
    assert!(page.contains("had ended") && !page.contains("<b>had"), "{page}");
    assert_eq!(desk.post_to("/tickets/T-1", &[("token", &token), ("answer", answer)]).0, 409);
    for name in ["..", "a/b", ".git", "", "%00"] {
        let (status, ..) =
            desk.post_to("/tickets", &[("token", &token), ("text", first), ("ticket", name)]);
        assert_eq!(status, 400, "{name:?}");
    }
    assert_eq!(desk.get("/tickets/%2e%2e").0, 400);
    assert_eq!(desk.get("/tickets/none").0, 404);
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn nothing_is_kept_without_a_folder() {
    let desk = Desk::open();
    let token = desk.token();
    let (status, ..) =
        desk.post_to("/tickets", &[("token", &token), ("text", "AT"), ("ticket", "T-1")]);
    assert_eq!(status, 404);
    assert_eq!(desk.get("/tickets").0, 404);
}

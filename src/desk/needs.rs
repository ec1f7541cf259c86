//! What the pages share: the desk's own things, the form that was sent, the explanation of a text, work apart.

use super::desktop::Desktop;
use super::form::Pasted;
use super::frame::{Frame, notice};
use super::guard::Guard;
use crate::explanation::{Basis, Explanation, Part, View};
use crate::ticket::{Step, experience, listing};
use axum::extract::Form;
use axum::extract::rejection::FormRejection;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use std::sync::Arc;

/// What is said to a text that is too large.
pub(super) const TOO_LARGE: &str =
    "This text is larger than 16 MiB. Cut out the part with the modem's answers.";

/// What every page needs.
#[derive(Clone)]
pub(super) struct Needs {
    pub(super) guard: Arc<Guard>,
    pub(super) desktop: Arc<Desktop>,
}

impl Needs {
    pub(super) fn frame(&self) -> Frame {
        Frame::of(&self.desktop)
    }

    /// What texts are held against.
    pub(super) fn basis(&self) -> Basis<'_> {
        let Desktop { profiles, team, .. } = &*self.desktop;
        Basis { team: Some(team), ..Basis::of(profiles) }
    }
}

/// The form, or the page that says why there is none.
pub(super) fn sent(
    needs: &Needs,
    pasted: Result<Form<Pasted>, FormRejection>,
) -> Result<Pasted, Box<Response>> {
    let refuse = |status, words| Err(Box::new((status, notice(words)).into_response()));
    match pasted {
        Ok(Form(pasted)) if needs.guard.is_token(&pasted.token) => Ok(pasted),
        Ok(_) => {
            let words = "This form is from an earlier start of the desk. Paste the text again.";
            refuse(StatusCode::FORBIDDEN, words)
        }
        Err(error) if error.status() == StatusCode::PAYLOAD_TOO_LARGE => {
            refuse(StatusCode::PAYLOAD_TOO_LARGE, TOO_LARGE)
        }
        Err(error) => refuse(error.status(), "This form was not sent as a whole."),
    }
}

/// Does what may take its time; others are served meanwhile.
pub(super) async fn apart(work: impl FnOnce() -> Response + Send + 'static) -> Response {
    if let Ok(response) = tokio::task::spawn_blocking(work).await {
        response
    } else {
        let words = "This text could not be explained. Please report it, without the text.";
        (StatusCode::INTERNAL_SERVER_ERROR, notice(words)).into_response()
    }
}

/// The explanation of texts, with what closed tickets tell beside it.
pub(super) fn explanation_of<'t>(
    needs: &Needs,
    text: &'t str,
    parts: Vec<Part>,
    basis: &Basis<'_>,
) -> Result<Explanation<'t>, Box<Response>> {
    let mut explanation =
        Explanation::of(text, parts, basis, View::default()).map_err(|error| {
            Box::new((StatusCode::BAD_REQUEST, notice(&error.to_string())).into_response())
        })?;
    let step = Step::of(&explanation, None, chrono::Utc::now());
    if let Some(folder) = needs.desktop.tickets.as_deref().filter(|_| !step.errors.is_empty())
        && let Ok(listing) = listing(folder)
    {
        explanation.note_experience(experience(&listing.tickets, &step));
    }
    Ok(explanation)
}

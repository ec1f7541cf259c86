//! A response as its family is handed it, and what a family declares.

use super::fields::Field;
use super::grammar::FieldError;
use crate::case::{Facts, Quantity};
use crate::span::Span;

/// What kind of request a reply answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Form {
    /// `AT+X?`, `AT+X`, or a vendor's reading `AT+X=…`: the reply is a state.
    Read,
    /// `AT+X=?`: the reply lists what is possible and is never a state.
    Test,
    /// It came by itself.
    Unsolicited,
    /// No request is seen; the shape of the reply must tell.
    Unknown,
}

/// A plain line that follows a reply's first line and belongs to it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ContinuationLine<'t> {
    /// The line, trimmed.
    pub text: &'t str,
    /// Where it stands.
    pub span: Span,
    /// Whether the text ends right behind it without a line end: its last value may be cut.
    pub open: bool,
}

/// One response line with a prefix, and the plain lines below it up to the next prefix or result.
#[derive(Clone, Copy, Debug)]
pub struct Response<'t> {
    /// The prefix as printed, sign included and colon not: `+CREG`, `^HCSQ`, `!GSTATUS`.
    pub prefix: &'t str,
    /// What it answers.
    pub form: Form,
    /// The request as sent, without `AT`: `+QENG="servingcell"`; empty where none is seen.
    pub request: &'t str,
    /// What stands after the colon, trimmed.
    pub body: &'t str,
    /// Where `body` begins.
    pub body_at: usize,
    /// Where prefix and body stand.
    pub span: Span,
    /// Whether the text ends right behind the body without a line end: its last value may be cut.
    pub open: bool,
    /// The body cut into its fields.
    pub(crate) fields: &'t [Field<'t>],
    /// Plain lines that follow.
    pub continuation: &'t [ContinuationLine<'t>],
}

impl<'t> Response<'t> {
    /// The fields of the body; never empty.
    pub fn fields(&self) -> &'t [Field<'t>] {
        self.fields
    }

    /// Whether it lists what is possible, `(0-2)`, so that it is no state.
    pub fn lists_values(&self) -> bool {
        self.form == Form::Test || self.body.starts_with('(')
    }

    /// Whether this is the prefix, whatever its case.
    pub fn is(&self, prefix: &str) -> bool {
        self.prefix.eq_ignore_ascii_case(prefix)
    }
}

/// Whether a family knew the form of a reply.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Read {
    /// Understood; the facts are noted.
    Understood,
    /// The command is known, this form of its reply is not. Nothing was noted.
    UnknownForm,
    /// A field is not of its type. Nothing was noted.
    Misread(FieldError),
}

impl From<Result<(), FieldError>> for Read {
    fn from(read: Result<(), FieldError>) -> Self {
        read.map_or_else(Self::Misread, |()| Self::Understood)
    }
}

/// A reply family: the replies of one command, or of a few that share their form.
#[derive(Clone, Copy, Debug)]
pub struct Family {
    /// The prefixes, upper case: `+CESQ`.
    pub prefixes: &'static [&'static str],
    /// The request that reads it and changes nothing, without `AT`; empty where only unsolicited forms exist.
    pub request: &'static str,
    /// Where it comes from: a clause, or "vendor's command".
    pub source: &'static str,
    /// What it tells, in a few words.
    pub about: &'static str,
    /// The numeric quantities that it can yield.
    pub yields: &'static [Quantity],
    /// Reads one reply.
    pub read: fn(&Response<'_>, &mut Facts) -> Read,
}

/// The family of a vendor's command.
pub(super) const fn vendor(
    prefixes: &'static [&'static str],
    request: &'static str,
    about: &'static str,
    yields: &'static [Quantity],
    read: fn(&Response<'_>, &mut Facts) -> Read,
) -> Family {
    Family { prefixes, request, source: "vendor's command", about, yields, read }
}

//! The text with its marks: which parts of it are evidence, line by line, and what of a long text is left out.

use super::explained::Explanation;
use super::unread;
use crate::span::Span;

/// A marked part of the text.
#[derive(Debug)]
pub(super) struct Mark<'e> {
    /// Its number; marks and statements refer to each other by it.
    pub(super) number: usize,
    /// Where it stands.
    pub(super) span: Span,
    /// `cause`, `also` or `unread`.
    pub(super) class: &'static str,
    /// The rule that it is evidence for, where there is one.
    pub(super) rule: Option<&'static str>,
    /// What it says.
    pub(super) says: &'e str,
}

/// A line of the text.
pub(super) enum Line<'e> {
    /// So many lines are left out.
    LeftOut(usize),
    /// A further text of several begins; its name.
    Part(&'e str),
    /// A line with its number.
    Shown {
        /// The number of the line, counted in its own text.
        number: usize,
        /// The number of the line, counted from the beginning of all texts.
        anchor: usize,
        /// Its parts.
        pieces: Vec<Piece<'e>>,
    },
}

/// A part of a line.
pub(super) enum Piece<'e> {
    /// Text without a mark.
    Plain(&'e str),
    /// So many bytes are left out.
    LeftOut(usize),
    /// Text behind a mark, and whether the mark begins here.
    Marked(&'e str, &'e Mark<'e>, bool),
}

/// Texts up to this size are shown whole.
const WHOLE: usize = 100_000;

/// So much of a longer one is shown before and behind each mark.
const AROUND: usize = 2_000;

/// The marks of an explanation: of the cause, of whatever else was found, of what was not understood. The first of
/// these has what overlaps.
pub(super) fn of<'e>(explanation: &'e Explanation<'_>) -> Vec<Mark<'e>> {
    let verdict = explanation.verdict();
    let root = verdict.root().map(|j| j.rule.id);
    let cause = explanation.evidence().iter().map(|e| (e.span, "cause", root, e.says.as_ref()));
    let found =
        verdict.judged.iter().filter(|j| j.certainty().is_some() && Some(j.rule.id) != root);
    let also = found.flat_map(|j| {
        j.evidence().iter().map(|e| (e.span, "also", Some(j.rule.id), e.says.as_ref()))
    });
    let unread = unread::all(explanation);
    let unread = unread.into_iter().map(|u| (u.span, "unread", None, u.why.words()));
    let mut marks: Vec<Mark<'_>> = Vec::new();
    let mut taken: std::collections::BTreeMap<usize, usize> = std::collections::BTreeMap::new();
    for (number, (span, class, rule, says)) in cause.chain(also).chain(unread).enumerate() {
        let before = taken.range(..span.end).next_back();
        let apart = before.is_none_or(|(_, end)| *end <= span.start);
        if span.start < span.end && (apart || class == "cause") {
            if apart {
                taken.insert(span.start, span.end);
            }
            marks.push(Mark { number, span, class, rule, says });
        }
    }
    marks
}

/// The lines of the text with the marks in them.
pub(super) fn lines<'e>(explanation: &'e Explanation<'_>, marks: &'e [Mark<'e>]) -> Vec<Line<'e>> {
    let text = explanation.source.shown();
    let mut sorted: Vec<&Mark<'_>> = marks.iter().collect();
    sorted.sort_by_key(|m| m.span);
    // A statement whose mark lies inside another one's leads to the line only.
    let mut end = 0;
    sorted.retain(|m| {
        let apart = m.span.start >= end;
        end = if apart { m.span.end } else { end };
        apart
    });
    let shown = shown(text, &sorted);
    let mut lines = Vec::new();
    let mut left_out = 0;
    let mut rest = &sorted[..];
    let mut part = None;
    for (anchor, (content, number, of)) in (1..).zip(explanation.source.numbered()) {
        // The ranges are in order and apart.
        let first = shown.partition_point(|s| s.end < content.start);
        let behind = shown.partition_point(|s| s.start <= content.end);
        let visible = shown.get(first..behind).unwrap_or(&[]);
        if visible.is_empty() {
            left_out += 1;
            continue;
        }
        if left_out > 0 {
            lines.push(Line::LeftOut(std::mem::take(&mut left_out)));
        }
        while rest.first().is_some_and(|m| m.span.end <= content.start) {
            rest = &rest[1..];
        }
        if of != part {
            lines.extend(of.map(Line::Part));
            part = of;
        }
        let mut pieces = Vec::new();
        let mut at = content.start;
        for range in visible {
            let from = text.floor_char_boundary(range.start.clamp(content.start, content.end));
            let to = text.floor_char_boundary(range.end.clamp(from, content.end));
            if from > at {
                pieces.push(Piece::LeftOut(from - at));
            }
            add_pieces(text, from..to, rest, &mut pieces);
            at = to;
        }
        if at < content.end {
            pieces.push(Piece::LeftOut(content.end - at));
        }
        lines.push(Line::Shown { number, anchor, pieces });
    }
    if left_out > 0 {
        lines.push(Line::LeftOut(left_out));
    }
    lines
}

/// The ranges of the text that are shown.
fn shown(text: &str, marks: &[&Mark<'_>]) -> Vec<Span> {
    if text.len() <= WHOLE {
        return vec![Span::new(0, text.len())];
    }
    let mut shown = vec![Span::new(0, AROUND)];
    for mark in marks {
        let near = Span::new(mark.span.start.saturating_sub(AROUND), mark.span.end + AROUND);
        match shown.last_mut().filter(|last| last.end >= near.start) {
            Some(last) => last.end = last.end.max(near.end),
            None => shown.push(near),
        }
    }
    shown
}

fn add_pieces<'e>(
    text: &'e str,
    range: std::ops::Range<usize>,
    marks: &[&'e Mark<'e>],
    pieces: &mut Vec<Piece<'e>>,
) {
    let mut at = range.start;
    let behind = marks.iter().skip_while(|m| m.span.end <= range.start);
    for mark in behind.take_while(|m| m.span.start < range.end) {
        let (start, end) = (mark.span.start.max(at), mark.span.end.min(range.end));
        if start >= end {
            continue;
        }
        pieces.push(Piece::Plain(&text[at..start]));
        pieces.push(Piece::Marked(&text[start..end], mark, mark.span.start >= range.start));
        at = end;
    }
    pieces.push(Piece::Plain(&text[at..range.end]));
}

//! The screen of an alignment: a function of the state, drawn into any buffer.

use super::state::State;
use crate::sanitize::plain;
use chrono::{DateTime, Utc};
use ratatui::Frame;
use ratatui::layout::{Constraint, Layout, Rect};
use ratatui::style::{Modifier, Style};
use ratatui::text::{Line, Text};
use ratatui::widgets::Paragraph;

/// Digits five rows high, in full blocks, readable at arm's length and in sunlight.
const GLYPHS: [(char, [&str; 5]); 12] = [
    ('0', ["███", "█ █", "█ █", "█ █", "███"]),
    ('1', [" █ ", "██ ", " █ ", " █ ", "███"]),
    ('2', ["███", "  █", "███", "█  ", "███"]),
    ('3', ["███", "  █", "███", "  █", "███"]),
    ('4', ["█ █", "█ █", "███", "  █", "  █"]),
    ('5', ["███", "█  ", "███", "  █", "███"]),
    ('6', ["███", "█  ", "███", "█ █", "███"]),
    ('7', ["███", "  █", "  █", "  █", "  █"]),
    ('8', ["███", "█ █", "███", "█ █", "███"]),
    ('9', ["███", "█ █", "███", "  █", "███"]),
    ('-', ["   ", "   ", "███", "   ", "   "]),
    ('?', ["███", "  █", " ██", "   ", " █ "]),
];

fn large(number: Option<f64>) -> Vec<String> {
    let text = number.map_or_else(|| "?".into(), |n| format!("{n:.0}"));
    (0..5)
        .map(|row| {
            text.chars()
                .filter_map(|c| GLYPHS.iter().find(|(g, _)| *g == c))
                .map(|(_, rows)| rows[row])
                .collect::<Vec<_>>()
                .join(" ")
        })
        .collect()
}

/// Steps of one mast's slope: how full a level is between -125 and -65 dBm.
fn slope(level: Option<f64>, best: Option<f64>, width: u16) -> String {
    let width = usize::from(width);
    if width < 4 {
        return String::new();
    }
    let column = |l: f64| {
        let share = ((l + 125.0) / 60.0).clamp(0.0, 1.0);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "0 to the width"
        )]
        let at = (share * (width - 1) as f64).round() as usize;
        at
    };
    let now = level.map_or(0, column);
    let mut out: Vec<char> = (0..width).map(|i| if i < now { '▰' } else { '▱' }).collect();
    if let Some(best) = best {
        out[column(best)] = '◆';
    }
    out.into_iter().collect()
}

/// Draws the screen at `now`.
pub fn draw(frame: &mut Frame<'_>, state: &State, now: DateTime<Utc>) {
    let area = frame.area();
    if area.width < 20 || area.height < 8 {
        frame.render_widget(Paragraph::new(small_lines(state, area)), area);
        return;
    }
    let warned = state.changed.as_ref().is_some_and(|(_, at)| (now - *at).num_seconds() < 20);
    let [head, warning, number, bar, rest] = Layout::vertical([
        Constraint::Length(1),
        Constraint::Length(if warned { 2 } else { 0 }),
        Constraint::Length(6),
        Constraint::Length(2),
        Constraint::Min(0),
    ])
    .areas(area);
    let bold = Style::new().add_modifier(Modifier::BOLD);
    let latest = state.latest.as_ref();
    let cell = latest.map_or_else(
        || "waiting for the modem".into(),
        |l| plain(&l.cell.to_string()).into_owned(),
    );
    frame.render_widget(Paragraph::new(Line::styled(cell, bold)), head);
    if warned {
        warn(frame, state, warning);
    }
    let level = latest.and_then(|l| l.levels.rsrp_dbm);
    let [digits, side] =
        Layout::horizontal([Constraint::Length(18), Constraint::Min(0)]).areas(number);
    frame.render_widget(
        Paragraph::new(Text::from(large(level).into_iter().map(Line::from).collect::<Vec<_>>())),
        digits,
    );
    frame.render_widget(Paragraph::new(side_lines(state, now)), side);
    let best = state.best.as_ref().map(|b| b.level_dbm);
    frame.render_widget(
        Paragraph::new(vec![
            Line::from(slope(level, best, bar.width)),
            Line::from(match state.best.as_ref().and_then(|b| b.heading_deg) {
                Some(_) => format!("-125 dBm  ◆ best so far, {}", state.turn_words()),
                None => "-125 dBm  ◆ best so far".into(),
            }),
        ]),
        bar,
    );
    let mut lines = Vec::new();
    if let Some(fitted) = &state.fitted {
        lines.push(Line::styled(
            format!(
                "Mast at {:.0}°, between {:.0}° and {:.0}°",
                fitted.direction_deg,
                (fitted.direction_deg - fitted.uncertainty_deg.0).rem_euclid(360.0),
                (fitted.direction_deg + fitted.uncertainty_deg.1).rem_euclid(360.0)
            ),
            bold,
        ));
    }
    lines.extend(dial(state, rest));
    if let Some(trouble) = &state.trouble {
        lines.push(Line::from(plain(trouble).into_owned()));
    }
    lines.push(Line::from("left/right turn 10°  q ends"));
    frame.render_widget(Paragraph::new(lines), rest);
}

/// What matters most, in as few lines as there are: level, way to the best heading, the best level.
fn small_lines(state: &State, area: Rect) -> Vec<Line<'static>> {
    let level = state.latest.as_ref().and_then(|l| l.levels.rsrp_dbm);
    let level = level.map_or_else(|| "no level".into(), |l| format!("{l:.0} dBm"));
    let best = state.best.as_ref().map_or_else(String::new, |b| match b.heading_deg {
        Some(heading) => format!("best {:.0} at {heading:.0}°", b.level_dbm),
        None => format!("best {:.0}", b.level_dbm),
    });
    let turn = state.turn_words();
    if area.height >= 3 {
        return vec![Line::from(level), Line::from(best), Line::from(turn)];
    }
    vec![Line::from([level, best, turn].join("  "))]
}

fn warn(frame: &mut Frame<'_>, state: &State, area: Rect) {
    let before = state
        .changed
        .as_ref()
        .map_or_else(String::new, |(c, _)| plain(&c.to_string()).into_owned());
    let style = Style::new().add_modifier(Modifier::REVERSED | Modifier::BOLD);
    frame.render_widget(
        Paragraph::new(vec![
            Line::styled("ANOTHER CELL: these numbers are of another mast", style),
            Line::from(format!("before: {before}")),
        ]),
        area,
    );
}

fn side_lines(state: &State, now: DateTime<Utc>) -> Vec<Line<'static>> {
    let latest = state.latest.as_ref();
    let value = |v: Option<f64>, unit: &str| {
        v.map_or_else(|| "not given".into(), |v| format!("{v:.1} {unit}"))
    };
    let trend = match state.trend_db() {
        Some(t) if t > 1.0 => format!("rising {t:+.1} dB"),
        Some(t) if t < -1.0 => format!("falling {t:+.1} dB"),
        Some(_) => "steady".into(),
        None => "-".into(),
    };
    let best = state.best.as_ref().map_or_else(String::new, |b| match b.heading_deg {
        Some(h) => format!("{:.0} dBm at {h:.0}°", b.level_dbm),
        None => format!("{:.0} dBm", b.level_dbm),
    });
    vec![
        Line::from(format!("dBm  {trend}")),
        Line::from(format!("SINR {}", value(latest.and_then(|l| l.levels.sinr_db), "dB"))),
        Line::from(format!("RSRQ {}", value(latest.and_then(|l| l.levels.rsrq_db), "dB"))),
        Line::from(format!("best {best}")),
        Line::from(state.age_s(now).map_or_else(String::new, |a| format!("{a:.1} s old"))),
        Line::from(
            state
                .heading_deg
                .map_or_else(|| "heading not given".into(), |h| format!("looks to {h:.0}°")),
        ),
    ]
}

/// Levels by heading as a strip from north around: height by eighth blocks.
fn dial(state: &State, area: Rect) -> Vec<Line<'static>> {
    const STEPS: [char; 8] = ['▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];
    let medians = state.medians();
    if medians.len() < 2 || area.height < 4 {
        return Vec::new();
    }
    let (low, high) =
        medians.iter().fold((f64::MAX, f64::MIN), |(l, h), m| (l.min(m.1), h.max(m.1)));
    let width = usize::from(area.width.min(72));
    let mut strip = vec![' '; width];
    for (heading, level) in &medians {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "0 to 359 and 0 to 7"
        )]
        let (at, step) = (
            (heading / 360.0 * width as f64) as usize,
            ((level - low) / (high - low).max(1.0) * 7.0).round() as usize,
        );
        strip[at.min(width - 1)] = STEPS[step.min(7)];
    }
    let scale: String = (0..width)
        .map(|i| {
            ["N", "E", "S", "W"]
                .iter()
                .enumerate()
                .find(|(n, _)| i == n * width / 4)
                .map_or(' ', |(_, c)| c.chars().next().unwrap_or(' '))
        })
        .collect();
    vec![Line::from(strip.into_iter().collect::<String>()), Line::from(scale)]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::reading::Source;
    use crate::survey::simulate::{Pace, Place, Walker};
    use ratatui::Terminal;
    use ratatui::backend::TestBackend;

    fn swept() -> State {
        let text = std::fs::read_to_string(concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/demo/sweep/hut-antenna.toml"
        ))
        .unwrap();
        let mut walker = Walker::new(Place::parse(&text).unwrap(), Pace::AtOnce);
        let mut state = State::default();
        for _ in 0..200 {
            let Some(reading) = walker.read().unwrap() else { break };
            state.take(reading);
        }
        state
    }

    fn screen(state: &State, width: u16, height: u16) -> String {
        let mut terminal = Terminal::new(TestBackend::new(width, height)).unwrap();
        let now = state.latest.as_ref().map_or_else(Utc::now, |l| l.at);
        terminal.draw(|f| draw(f, state, now)).unwrap();
        terminal.backend().to_string()
    }

    #[test]
    fn what_matters_stands_on_both_sizes() {
        let state = swept();
        for (width, height) in [(80, 24), (40, 20)] {
            let text = screen(&state, width, height);
            for word in ["band 20", "SINR", "best", "old", "looks to", "◆", "q ends"] {
                assert!(text.contains(word), "{word} at {width} x {height}:\n{text}");
            }
        }
    }

    #[test]
    fn a_small_terminal_shows_level_best_heading_and_the_way_to_it() {
        let mut state = swept();
        state.turn(state.best.as_ref().unwrap().heading_deg.unwrap() - 40.0);
        for (width, height) in [(19, 3), (60, 2)] {
            let text = screen(&state, width, height);
            for word in ["dBm", "best", "°", "40° right"] {
                assert!(text.contains(word), "{word} at {width} x {height}:\n{text}");
            }
        }
    }

    #[test]
    fn a_screen_of_any_size_is_drawn_without_panic() {
        let state = swept();
        let now = state.latest.as_ref().map_or_else(Utc::now, |l| l.at);
        for (width, height) in [(0, 0), (1, 1), (19, 7), (20, 8), (300, 90), (40, 3)] {
            for shown in [&state, &State::default()] {
                let mut terminal = Terminal::new(TestBackend::new(width, height)).unwrap();
                terminal.draw(|f| draw(f, shown, now)).unwrap();
            }
        }
    }

    #[test]
    fn another_cell_is_warned_of_and_begins_anew() {
        let mut state = swept();
        let mut other = state.latest.clone().unwrap();
        other.cell.pci = Some(499);
        other.cell.cell_id = Some(99);
        state.take(other);
        assert!(screen(&state, 80, 24).contains("ANOTHER CELL"));
        assert_eq!(state.recent.len(), 1);
    }
}

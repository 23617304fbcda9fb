//! A trace as a picture of signs: temperature upwards, time to the right, and the temperatures that criteria ask for.
//!
//! Those temperatures lie on the lower edges of lines, never inside one: what stands on such a line or above it was at least
//! that hot, what stands below it was not. Drawn is the sensor that is coldest at the time, with its uncertainty taken off.

use super::Trace;
use crate::science::trace::{Reading, Reserve};

/// What one place of the picture shows.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Mark {
    Nothing,
    /// The coldest sensor was there.
    Coldest,
    /// Some other sensor was there.
    Other,
    /// A temperature that is asked for.
    Asked,
    /// A sensor was silent, and nothing is counted.
    Gap,
}

#[derive(Clone, PartialEq, Debug)]
pub struct Plot {
    /// From the top down: what stands before the line, and its places.
    pub rows: Vec<(String, Vec<Mark>)>,
    /// Under it: the scale of time.
    pub scale: String,
}

/// The signs in which a picture is written.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Signs {
    pub coldest: char,
    pub other: char,
    pub asked: char,
    pub gap: char,
    pub axis: char,
    pub corner: char,
    pub floor: char,
}

impl Signs {
    pub const ASCII: Self = Self { coldest: '#', other: '+', asked: '-', gap: '?', axis: '|', corner: '+', floor: '-' };
    pub const UNICODE: Self =
        Self { coldest: '█', other: '·', asked: '─', gap: '?', axis: '│', corner: '└', floor: '─' };

    pub fn of(self, mark: Mark) -> char {
        match mark {
            Mark::Nothing => ' ',
            Mark::Coldest => self.coldest,
            Mark::Other => self.other,
            Mark::Asked => self.asked,
            Mark::Gap => self.gap,
        }
    }
}

/// Columns of the temperatures before the axis.
const LABEL: usize = 5;
/// What is colder is drawn on the lowest line.
const LOWEST_CELSIUS: f64 = 20.0;
const HIGHEST_CELSIUS: f64 = 95.0;

impl Plot {
    /// In so many columns and lines, labels and scale included.
    pub fn of(trace: &Trace, reserve: Reserve, asked: &[f64], columns: usize, lines: usize) -> Self {
        let (across, up) = (columns.saturating_sub(LABEL + 1).max(10), lines.saturating_sub(2).max(3));
        let edges = edges(asked, up);
        let rows = edges.len();
        let mut places = vec![vec![Mark::Nothing; across]; rows];
        let at = |celsius: f64| edges.iter().rposition(|edge| celsius >= *edge).unwrap_or(0);
        for threshold in asked {
            places[at(*threshold)].fill(Mark::Asked);
        }
        let seconds = trace.seconds.max(1.0);
        let slice = seconds / across as f64;
        for column in 0..across {
            let (from, until) = (column as f64 * slice, (column + 1) as f64 * slice);
            let spans: Vec<Option<(f64, f64)>> =
                trace.sensors.iter().map(|it| span(&it.readings, from, until, reserve)).collect();
            if spans.iter().any(Option::is_none) {
                places[0][column] = Mark::Gap;
                continue;
            }
            let mut draw = |(low, high): (f64, f64), mark: Mark| {
                for row in &mut places[at(low - reserve.uncertainty)..=at(high - reserve.uncertainty)] {
                    row[column] = mark;
                }
            };
            let spans = || spans.iter().copied().flatten();
            spans().for_each(|it| draw(it, Mark::Other));
            if let Some(coldest) = spans().min_by(|one, other| one.0.total_cmp(&other.0)) {
                draw(coldest, Mark::Coldest);
            }
        }
        let label = |row: usize| {
            let threshold = asked.iter().find(|it| at(**it) == row);
            match threshold {
                Some(it) => format!("{it:>LABEL$}"),
                None if row + 1 == rows || row == 0 => format!("{:>LABEL$.0}", edges[row]),
                None => " ".repeat(LABEL),
            }
        };
        let rows = (0..rows).rev().map(|row| (label(row), places[row].clone())).collect();
        Self { rows, scale: scale(seconds / 60.0, across) }
    }

    /// In lines of text.
    pub fn text(&self, signs: Signs) -> Vec<String> {
        let line = |(label, places): &(String, Vec<Mark>)| {
            let places: String = places.iter().map(|mark| signs.of(*mark)).collect();
            format!("{label}{}{}", signs.axis, places.trim_end())
        };
        let mut lines: Vec<String> = self.rows.iter().map(line).collect();
        let across = self.rows.first().map_or(0, |(_, places)| places.len());
        let floor: String = std::iter::repeat_n(signs.floor, across).collect();
        lines.push(format!("{}{}{floor}", " ".repeat(LABEL), signs.corner));
        lines.push(format!("{}{}", " ".repeat(LABEL + 1), self.scale));
        lines
    }

    /// What the signs mean.
    pub fn legend(signs: Signs, reserve: Reserve) -> String {
        let off =
            if reserve.uncertainty > 0.0 { format!(", {} K taken off", reserve.uncertainty) } else { String::new() };
        format!(
            "Upwards degrees Celsius, to the right minutes. {} the coldest sensor at the time{off}; {} others; {} a \
             temperature that is asked for: on its line or above it, it was reached; {} a sensor was silent",
            signs.coldest, signs.other, signs.asked, signs.gap
        )
    }
}

/// Lower edges of the lines, from the bottom up: evenly spread, with one moved to each temperature that is asked for.
fn edges(asked: &[f64], lines: usize) -> Vec<f64> {
    let step = (HIGHEST_CELSIUS - LOWEST_CELSIUS) / lines as f64;
    let mut edges: Vec<f64> = (0..lines).map(|line| LOWEST_CELSIUS + step * line as f64).collect();
    let mut taken = vec![0];
    for threshold in asked.iter().filter(|it| **it > LOWEST_CELSIUS) {
        let free = (0..lines).filter(|line| !taken.contains(line));
        let distance = |line: &usize| (edges[*line] - threshold).abs();
        let Some(nearest) = free.min_by(|one, other| distance(one).total_cmp(&distance(other))) else { break };
        taken.push(nearest);
        edges[nearest] = *threshold;
    }
    edges.sort_by(f64::total_cmp);
    edges
}

/// The coldest and hottest that a sensor was in this time, on straight lines between its readings. None: it was silent for
/// some of it.
fn span(readings: &[Reading], from: f64, until: f64, reserve: Reserve) -> Option<(f64, f64)> {
    let first = readings.partition_point(|it| it.seconds <= from).saturating_sub(1);
    let mut found: Option<(f64, f64)> = None;
    let mut note = |celsius: f64| {
        let (low, high) = found.unwrap_or((celsius, celsius));
        found = Some((low.min(celsius), high.max(celsius)));
    };
    let around = readings.get(first..).unwrap_or_default();
    if around.first().is_none_or(|it| it.seconds > from) {
        return None;
    }
    for (a, b) in around.iter().zip(around.iter().skip(1)) {
        if a.seconds >= until {
            break;
        }
        if !reserve.joins(b.seconds - a.seconds) {
            return None;
        }
        let line = |at: f64| a.celsius + (b.celsius - a.celsius) * (at - a.seconds) / (b.seconds - a.seconds);
        note(line(a.seconds.max(from)));
        note(line(b.seconds.min(until)));
    }
    // The last reading may lie a rounding before the end.
    (around.last().is_some_and(|it| it.seconds >= until - 1e-6 * until.max(1.0))).then_some(found).flatten()
}

/// Minutes under the axis, each at its own place.
fn scale(minutes: f64, across: usize) -> String {
    let wanted = (across / 12).max(1) as f64;
    let steps = [1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 360.0, 1440.0];
    let step = steps.into_iter().find(|step| minutes / step <= wanted).unwrap_or(2880.0);
    let mut line = String::new();
    let mut at = 0.0;
    while at <= minutes {
        let column = (at / minutes * across as f64) as usize;
        let text = if line.is_empty() { format!("{at:.0} min") } else { format!("{at:.0}") };
        if column + text.len() <= across && (line.is_empty() || column > line.len()) {
            line.push_str(&" ".repeat(column.saturating_sub(line.len())));
            line.push_str(&text);
        }
        at += step;
    }
    line
}

#[cfg(test)]
mod tests {
    use super::super::{How, parse};
    use super::*;

    const RESERVE: Reserve = Reserve { uncertainty: 0.0, longest_step_seconds: 60.0 };

    fn plot(text: &str, asked: &[f64]) -> Vec<String> {
        let trace = parse(text.as_bytes(), How::unsaid(60.0)).unwrap_or_else(|fault| panic!("{fault}"));
        Plot::of(&trace, RESERVE, asked, 46, 10).text(Signs::ASCII)
    }

    fn level(minutes: u32, celsius: f64) -> String {
        (0..=minutes).map(|at| format!("{at},{celsius}\n")).fold("min,drum (C)\n".to_owned(), |all, row| all + &row)
    }

    /// The line that is asked for is the edge between reached and not reached, by a hundredth of a degree.
    #[test]
    fn what_stands_on_the_line_reached_it_and_what_stands_below_did_not() {
        let on = |celsius: f64| {
            let picture = plot(&level(40, celsius), &[60.0, 71.0]);
            let line = picture.iter().position(|line| line.contains('#')).unwrap();
            let asked = picture.iter().position(|line| line.starts_with("   71")).unwrap();
            line <= asked
        };
        assert!(on(71.0) && on(71.01) && on(95.0));
        assert!(!on(70.99) && !on(60.0) && !on(20.0));
    }

    #[test]
    fn a_dip_of_one_reading_and_a_gap_are_seen() {
        let mut rows: Vec<String> = (0..=240).map(|at| format!("{},{}", f64::from(at) / 4.0, 75)).collect();
        rows[120] = "30,50".to_owned();
        let whole = plot(&format!("min,a (C)\n{}", rows.join("\n")), &[71.0]);
        assert!(whole.iter().any(|line| line.contains('#') && line.matches('#').count() < 4), "{whole:#?}");
        rows.drain(160..180);
        let gap = plot(&format!("min,a (C)\n{}", rows.join("\n")), &[71.0]);
        assert!(gap.iter().any(|line| line.contains("???")), "{gap:#?}");
    }

    #[test]
    fn a_picture_has_the_size_that_was_asked_for_and_only_its_signs() {
        for (columns, lines) in [(20, 5), (46, 10), (79, 16), (200, 40)] {
            let trace = parse(level(90, 70.0).as_bytes(), How::unsaid(60.0)).unwrap();
            for asked in [vec![], vec![60.0, 71.0], vec![60.0, 65.0, 71.0, 71.1, 90.0]] {
                let text = Plot::of(&trace, RESERVE, &asked, columns, lines).text(Signs::ASCII);
                assert_eq!(text.len(), lines, "{text:#?}");
                assert!(text.iter().all(|line| line.is_ascii() && line.len() <= columns), "{text:#?}");
            }
        }
    }
}

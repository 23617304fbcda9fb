//! What dry checks taught, in words and as a picture: when rooms were probably dry against when they were found dry.

use super::board::{Board, Found};
use super::code::Code;
use crate::science::learning::{ENOUGH_SEEN_DAMP, Whose};

/// Every drying that teaches something, oldest first.
pub fn dryings(board: &Board) -> Vec<Found> {
    let mut found: Vec<Found> = board.dryings_found().collect();
    found.sort_by_key(|it| (it.ended, it.room));
    found
}

/// By what the estimates of a room go, in one sentence.
pub fn learned_in_words(board: &Board, room: Code) -> String {
    match board.learned_for(room) {
        Some((whose, it)) => {
            let rooms = if whose == Whose::Ward { "This ward's rooms" } else { "This hospital's rooms" };
            format!(
                "{rooms} took {:.2} times the method's time (90 %: {:.2} to {:.2}), by {} of {}; estimates go by it",
                it.likely,
                it.low,
                it.high,
                counted(it.checks, "check"),
                counted(it.dryings, "drying"),
            )
        }
        None => {
            let seen = board.learned().hospital.seen_damp;
            format!(
                "By the method alone: {} seen damp and then dry here so far, {ENOUGH_SEEN_DAMP} are wanted",
                counted(seen, "drying")
            )
        }
    }
}

/// The hospital's, for the whole list.
pub fn hospital_in_words(board: &Board) -> Vec<String> {
    let it = board.learned().hospital;
    if it.dryings == 0 {
        let nothing =
            "No drying teaches anything yet: it takes a spray with its end noted, and a dry check.".to_owned();
        return [nothing].into_iter().chain(left_out(board)).collect();
    }
    let goes = match it.is_grounded() {
        true => "Estimates go by it, ward by ward where a ward has enough dryings of its own.".to_owned(),
        false => format!(
            "Not used yet: {} seen damp and then dry, {ENOUGH_SEEN_DAMP} are wanted.",
            counted(it.seen_damp, "drying")
        ),
    };
    let (fast, slow) = it.next_drying();
    vec![
        format!(
            "Rooms took {:.2} of the method's time (90 %: {:.2} to {:.2}): {}, {}.",
            it.likely,
            it.low,
            it.high,
            counted(it.dryings, "drying"),
            counted(it.checks, "check")
        ),
        format!("Of the next dryings eight in ten will take {fast:.2} to {slow:.2} of that time."),
        goes,
        "It makes no label's minimum shorter, and opens nothing.".to_owned(),
    ]
    .into_iter()
    .chain(left_out(board))
    .collect()
}

/// How many dryings teach nothing though they were felt, and why that may be.
fn left_out(board: &Board) -> Option<String> {
    let many = board.dryings_left_out();
    (many > 0).then(|| {
        format!(
            "Left out: {}, aired otherwise meanwhile, wiped, sprayed anew, or with a voided check.",
            counted(many, "drying")
        )
    })
}

/// One drying: `likely 2.1 h; damp after 1.5 h, dry by 3.0 h`.
pub fn drying_in_words(found: &Found) -> String {
    let damp = found.damp_hours.map(|hours| format!("damp after {hours:.1} h"));
    let dry = found.dry_hours.map_or("not found dry yet".to_owned(), |hours| format!("dry by {hours:.1} h"));
    let seen: Vec<String> = damp.into_iter().chain([dry]).collect();
    format!("likely {:.1} h; {}", found.likely_hours, seen.join(", "))
}

/// Columns before the axis.
const LABEL: usize = 5;

/// What the signs of the picture mean.
pub const LEGEND: &str = "To the right likely hours, upwards hours found: + dry by then, | dry in between, - still damp then, \
                          . as the method says";

/// Predicted against observed, in ASCII. Empty where there is nothing to draw.
pub fn picture(found: &[Found], columns: usize, lines: usize) -> Vec<String> {
    let (across, up) = (columns.saturating_sub(LABEL + 1).clamp(10, 100), lines.saturating_sub(2).max(3));
    let observed = |it: &Found| it.dry_hours.or(it.damp_hours).unwrap_or_default();
    let longest = |of: &dyn Fn(&Found) -> f64| found.iter().map(of).fold(0.0, f64::max);
    let (widest, highest) = (longest(&|it| it.likely_hours), longest(&observed));
    if widest <= 0.0 || highest <= 0.0 {
        return vec![];
    }
    let (widest, highest) = (widest * 1.05, highest.max(widest) * 1.05);
    let column = |hours: f64| ((hours / widest * across as f64) as usize).min(across - 1);
    let row = |hours: f64| ((hours / highest * up as f64) as usize).min(up - 1);
    let mut places = vec![vec![' '; across]; up];
    let mut put = |x: usize, y: usize, sign: char| {
        if let Some(place) = places.get_mut(y).and_then(|row| row.get_mut(x)) {
            *place = sign;
        }
    };
    for x in 0..across {
        put(x, row((x as f64 + 0.5) / across as f64 * widest), '.');
    }
    for it in found {
        let x = column(it.likely_hours);
        let (damp, dry) = (it.damp_hours.map(row), it.dry_hours.map(row));
        if let (Some(from), Some(until)) = (damp, dry) {
            (from..until).for_each(|y| put(x, y, '|'));
        }
        damp.into_iter().for_each(|y| put(x, y, '-'));
        dry.into_iter().for_each(|y| put(x, y, '+'));
    }
    let label = |y: usize| match y {
        0 => "0 h".to_owned(),
        y if y + 1 == up => format!("{highest:.1} h"),
        _ => String::new(),
    };
    let line = |(y, row): (usize, &Vec<char>)| {
        let row: String = row.iter().collect();
        format!("{:>LABEL$}|{}", label(y), row.trim_end())
    };
    let mut out: Vec<String> = places.iter().enumerate().rev().map(line).collect();
    out.push(format!("{}+{}", " ".repeat(LABEL), "-".repeat(across)));
    let end = format!("{widest:.1} h");
    out.push(format!("{}0{end:>width$}", " ".repeat(LABEL + 1), width = across - 1));
    out
}

fn counted(number: usize, thing: &str) -> String {
    format!("{number} {thing}{}", if number == 1 { "" } else { "s" })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::entry::Number;

    fn found(likely_hours: f64, damp_hours: Option<f64>, dry_hours: Option<f64>) -> Found {
        let ended = "2026-03-02T09:00:00Z".parse().unwrap();
        Found { room: Code::new("101").unwrap(), spray: Number(1), ended, likely_hours, damp_hours, dry_hours }
    }

    #[test]
    fn a_room_that_takes_longer_stands_above_the_line_of_the_method() {
        let slow = picture(&[found(2.0, Some(3.0), Some(4.0))], 60, 14);
        let height = |picture: &[String], sign: char| {
            picture.iter().position(|line| line.get(LABEL + 1..).is_some_and(|line| line.contains(sign))).unwrap()
        };
        assert!(height(&slow, '+') < height(&slow, '.'), "{slow:#?}");
        let quick = picture(&[found(2.0, None, Some(0.5))], 60, 14);
        assert!(height(&quick, '+') > height(&quick, '.'), "{quick:#?}");
        assert!(picture(&[], 60, 14).is_empty());
    }

    #[test]
    fn it_keeps_its_size_and_is_plain() {
        let many: Vec<Found> =
            (1..40).map(|n| found(f64::from(n) / 8.0, Some(0.2), (n % 3 > 0).then_some(f64::from(n)))).collect();
        for (columns, lines) in [(20, 5), (60, 14), (300, 40)] {
            let drawn = picture(&many, columns, lines);
            assert_eq!(drawn.len(), lines);
            assert!(
                drawn.iter().all(|line| line.is_ascii() && line.len() <= columns.min(100 + LABEL + 1)),
                "{drawn:#?}"
            );
        }
    }

    #[test]
    fn a_drying_is_told_in_hours() {
        assert_eq!(drying_in_words(&found(2.1, Some(1.5), Some(3.0))), "likely 2.1 h; damp after 1.5 h, dry by 3.0 h");
        assert_eq!(drying_in_words(&found(2.1, Some(1.5), None)), "likely 2.1 h; damp after 1.5 h, not found dry yet");
    }
}

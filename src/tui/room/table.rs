//! The zones beside the list, on a wide screen: one a line, with what was done to it and by which entry.

use ratatui::layout::Position;

use super::view::{legend, put_mark};
use super::zones::{Paid, ZoneLine};
use super::{RoomScreen, Stop};
use crate::tui::look::Part;
use crate::tui::paint::{Pen, first_seen};

enum Line<'a> {
    Group(usize, &'a str),
    Zone(&'a ZoneLine),
}

impl RoomScreen {
    pub(super) fn zone_table(&self, pen: &mut Pen<'_>) -> Option<Position> {
        pen.rule(0, &format!("Zones: {}", legend(&self.facts)));
        if self.facts.zones.is_empty() {
            pen.put(0, 1, "No zones are set for this kind of room.", Part::Plain);
            return None;
        }
        let name = 15;
        let cell = pen.width().saturating_sub(name + 4) / 3;
        let columns = [0, 1, 2].map(|at| 4 + name + at * cell);
        for (x, title) in columns.into_iter().zip(["treated", "dry", "vacuumed"]) {
            pen.put_in(x, 1, cell.saturating_sub(1), title, Part::Strong);
        }
        let groups = self.facts.zones.iter().enumerate();
        let lines: Vec<Line<'_>> = groups
            .flat_map(|(at, group)| {
                std::iter::once(Line::Group(at, group.name.as_str())).chain(group.zones.iter().map(Line::Zone))
            })
            .collect();
        let chosen = |line: &Line<'_>| matches!(line, Line::Group(at, _) if self.is_chosen(Stop::Zones(*at)));
        let height = pen.height().saturating_sub(2);
        let seen = height.saturating_sub(u16::from(lines.len() > usize::from(height)));
        let at = lines.iter().position(chosen).unwrap_or(0);
        let first = first_seen(at, lines.len(), usize::from(seen));
        let mut cursor = None;
        for (y, line) in (2..2 + seen).zip(lines.iter().skip(first)) {
            match line {
                Line::Group(_, name) => {
                    put_mark(pen, y, name, Part::Strong, chosen(line));
                    cursor = cursor.or(if chosen(line) { pen.at(0, y) } else { None });
                }
                Line::Zone(zone) => {
                    let part = if zone.stand.is_open() { Part::Strong } else { Part::Plain };
                    pen.put(2, y, &zone.stand.sign().to_string(), part);
                    pen.put_in(4, y, name - 1, &zone.name, part);
                    for (x, text) in columns.into_iter().zip(cells(zone)) {
                        pen.put_in(x, y, cell.saturating_sub(1), &text, part);
                    }
                }
            }
        }
        if seen < height {
            let rest = lines.len().saturating_sub(usize::from(seen));
            pen.put_right(2 + seen, &format!("{rest} more lines: walk to a group"), Part::Key);
        }
        cursor
    }
}

/// Treated, dry, vacuumed: what is owed, or the entry that paid it.
fn cells(zone: &ZoneLine) -> [String; 3] {
    let treated = match zone.treated {
        Paid::NotAsked => String::new(),
        Paid::Owed if zone.otherwise => "owed, no spray".to_owned(),
        Paid::Owed => "owed".to_owned(),
        Paid::By(number) => format!("entry {number}"),
    };
    let dry = match (zone.dry, zone.damp) {
        (Paid::Owed, Some(number)) => format!("damp, {number}"),
        (Paid::Owed, None) => "wet".to_owned(),
        (Paid::By(number), _) => format!("entry {number}"),
        (Paid::NotAsked, _) => String::new(),
    };
    let vacuumed = match zone.vacuumed {
        Paid::NotAsked => String::new(),
        Paid::Owed => "owed".to_owned(),
        Paid::By(number) => format!("entry {number}"),
    };
    [treated, dry, vacuumed]
}

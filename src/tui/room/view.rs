//! Drawing the Room.

use ratatui::layout::Position;

use super::RoomScreen;
use crate::tui::look::Part;
use crate::tui::paint::{Pen, first_seen, width, wrap};
use crate::tui::survey::{RoomLine, Survey, state_part, state_sign};

/// Below this width zones stand under the needs, not beside them.
const TWO_COLUMNS: u16 = 72;

impl RoomScreen {
    pub fn paint(&self, pen: &mut Pen<'_>, survey: &Survey) -> Option<Position> {
        let room = survey.room(self.code)?;
        pen.put_in(0, 0, pen.width(), &self.facts.title, Part::Strong);
        let x =
            pen.chip(0, 1, &format!("{} {}", state_sign(room.state), room.state.headline()), state_part(room.state));
        let inside = format!("may be inside: {}", room.state.who_may_enter());
        pen.put_in(x + 1, 1, pen.width().saturating_sub(x + 1), &inside, Part::Plain);
        let mut cursor = self.next_line(pen);
        let beds = u16::try_from(room.beds.len()).unwrap_or(u16::MAX).min(4).min(pen.height().saturating_sub(3));
        let here = self.bed_lines(&mut pen.field(0, 3, pen.width(), beds), room);
        cursor = cursor.or(here);
        let top = 3 + beds;
        let rest = pen.height().saturating_sub(top);
        let (needs, zones) = (self.facts.needs.len(), self.zone_lines(pen.width()));
        let wanted = u16::try_from(needs.max(zones) + 1).unwrap_or(u16::MAX).max(2);
        let middle = wanted.min(rest * 3 / 5).max(rest.min(2));
        let columns = pen.width();
        let left = if columns >= TWO_COLUMNS { columns * 3 / 5 } else { columns };
        let first_need = 1 + room.beds.len();
        let here = self.need_lines(&mut pen.field(0, top, left.saturating_sub(1), middle), first_need);
        cursor = cursor.or(here);
        if columns > left {
            self.zone_field(&mut pen.field(left, top, columns - left, middle));
        }
        let mut events = pen.field(0, top + middle, columns, rest.saturating_sub(middle));
        let here = self.event_lines(&mut events, first_need + needs);
        cursor.or(here)
    }

    fn next_line(&self, pen: &mut Pen<'_>) -> Option<Position> {
        let chosen = self.chosen == 0;
        let mark = if chosen { '>' } else { ' ' };
        let (text, hint) = match &self.facts.next {
            Some((text, _)) => (text.as_str(), "Enter: its form"),
            None => ("nothing is asked for now", "m: the moves"),
        };
        let x = pen.put(0, 2, &format!("{mark}Next: "), Part::Strong);
        let end = if chosen { pen.put_right(2, hint, Part::Key) } else { pen.width() };
        pen.put_in(x, 2, end.saturating_sub(x + 1), text, Part::Strong);
        if chosen {
            pen.mark(0, 2, x.saturating_sub(1), Part::Chosen);
            return pen.at(0, 2);
        }
        None
    }

    fn bed_lines(&self, pen: &mut Pen<'_>, room: &RoomLine) -> Option<Position> {
        let mut cursor = None;
        let at = self.chosen.checked_sub(1).filter(|at| *at < room.beds.len());
        let first = first_seen(at.unwrap_or(0), room.beds.len(), usize::from(pen.height()));
        for (y, (index, bed)) in (0..pen.height()).zip(room.beds.iter().enumerate().skip(first)) {
            let chosen = at == Some(index);
            let mark = if chosen { '>' } else { ' ' };
            let x = pen.put_in(0, y, 22, &format!("{mark}Bed {}", bed.code), Part::Plain);
            if chosen {
                pen.mark(0, y, x, Part::Chosen);
                cursor = pen.at(0, y);
            }
            let x = pen.chip(x + 1, y, bed.word().word(), bed.word().part()) + 1;
            let rule = bed.blockers.first().map(|blocker| format!("[{}]", blocker.rule)).unwrap_or_default();
            let why = match bed.blockers.as_slice() {
                [] => bed.features.join(", "),
                [only] => only.text.clone(),
                [first, rest @ ..] => format!("{}, and {} more", first.text, rest.len()),
            };
            let columns = pen.width().saturating_sub(x + width(&rule) + 1);
            pen.put_in(x, y, columns, &why, Part::Plain);
            pen.put_right(y, &rule, Part::Plain);
        }
        cursor
    }

    fn need_lines(&self, pen: &mut Pen<'_>, first_need: usize) -> Option<Position> {
        let needs = &self.facts.needs;
        let missing = needs.iter().filter(|need| !need.met).count();
        let title = match (needs.len(), missing) {
            (0, _) => "Nothing is asked of this room".to_owned(),
            (all, 0) => format!("Asked for, all {all} met"),
            (all, missing) => format!("Asked for: {missing} of {all} missing"),
        };
        pen.rule(0, &title);
        let height = usize::from(pen.height().saturating_sub(1));
        let at = self.chosen.checked_sub(first_need).filter(|at| *at < needs.len());
        let first = first_seen(at.unwrap_or(0), needs.len(), height);
        let mut cursor = None;
        for (y, (index, need)) in (1..pen.height()).zip(needs.iter().enumerate().skip(first)) {
            let chosen = at == Some(index);
            let mark = if chosen { '>' } else { ' ' };
            let sign = if need.met { "met    " } else { "missing" };
            let part = if need.met { Part::Plain } else { Part::Strong };
            let x = pen.put(0, y, &format!("{mark}{sign}"), part);
            if chosen {
                pen.mark(0, y, x, Part::Chosen);
                cursor = pen.at(0, y);
            }
            let x = pen.put(x + 1, y, &need.text, part);
            let columns = pen.width().saturating_sub(x + 2);
            pen.put_in(x + 2, y, columns, &need.detail, Part::Plain);
        }
        cursor
    }

    fn zone_lines(&self, columns: u16) -> usize {
        let columns = (columns - columns * 3 / 5).max(1);
        self.facts.zones.iter().map(|group| wrap(&format!("{} {}", group.title, group.zones), columns).len()).sum()
    }

    fn zone_field(&self, pen: &mut Pen<'_>) {
        pen.rule(0, "Zones");
        let mut y = 1;
        for group in &self.facts.zones {
            let part = if group.title == "nothing owed" { Part::Plain } else { Part::Strong };
            for (at, line) in wrap(&format!("{} {}", group.title, group.zones), pen.width()).iter().enumerate() {
                if y + 1 == pen.height() && at > 0 {
                    pen.put_right(y, "…", Part::Plain);
                }
                pen.put(0, y, line, if at == 0 { part } else { Part::Plain });
                y += 1;
            }
        }
    }

    fn event_lines(&self, pen: &mut Pen<'_>, first_event: usize) -> Option<Position> {
        let events = &self.facts.events;
        pen.rule(0, &format!("What happened: {} entries, newest first", events.len()));
        let at = self.chosen.checked_sub(first_event).filter(|at| *at < events.len());
        let mut top = 1;
        for exception in &self.facts.exceptions {
            if top + 2 < pen.height() {
                pen.put_in(1, top, pen.width().saturating_sub(1), exception, Part::Strong);
                top += 1;
            }
        }
        let height = usize::from(pen.height().saturating_sub(top));
        let first = first_seen(at.unwrap_or(0), events.len(), height);
        let mut cursor = None;
        for (y, (index, event)) in (top..pen.height()).zip(events.iter().enumerate().skip(first)) {
            let chosen = at == Some(index);
            let mark = if chosen { '>' } else { ' ' };
            let x = pen.put(0, y, &format!("{mark}{:>4}", event.number.0), Part::Plain);
            if chosen {
                pen.mark(0, y, x, Part::Chosen);
                cursor = pen.at(0, y);
            }
            let x = pen.put_in(x + 2, y, 28, &event.when, Part::Plain);
            let columns = pen.width().saturating_sub(x + 2);
            pen.put_in(x + 2, y, columns, &event.text, Part::Plain);
        }
        cursor
    }
}

//! Drawing the Rulebook.

use ratatui::layout::Position;

use super::{Item, Part as Fifth, RulesScreen, bounds, from, source};
use crate::domain::policy::ITEMS;
use crate::domain::rule::Rule;
use crate::science::published::METHODS;
use crate::tui::look::Part;
use crate::tui::paint::{Pen, wrap};

/// Lines of the heading, and below the list.
pub(super) const BELOW: u16 = 6;

/// The column at which a sentence begins.
pub(super) fn text_at(columns: u16) -> u16 {
    if columns >= 120 { 46 } else { 41 }
}

/// Under the dryings.
const LEARNING: &str = "Left out: a room wiped or sprayed anew before it was dry, and what was voided. Checks that were \
                        timed by how dry a room looked make the multiplier too small.";

/// Names, and what stands beside them, begin here.
const NAME_AT: u16 = 1;
const SIDE_AT: u16 = 30;

impl RulesScreen {
    pub(super) fn draw(&self, pen: &mut Pen<'_>) -> Option<Position> {
        let title = match self.part {
            Fifth::Rules => {
                format!("Rulebook, part 1 of 5: {} rules; f: settings, methods, dryings, cautions", Rule::ALL.len())
            }
            Fifth::Settings => format!("Rulebook, part 2 of 5: the hospital's {} settings; f: methods", ITEMS.len()),
            Fifth::Methods => format!("Rulebook, part 3 of 5: {} methods of estimates; f: dryings", METHODS.len()),
            Fifth::Dryings => {
                format!("Rulebook, part 4 of 5: what {} dryings taught; f: cautions", self.dried.found.len())
            }
            Fifth::Cautions => "Rulebook, part 5 of 5: cautions; f: the rules".to_owned(),
        };
        pen.rule(0, &title);
        let columns = pen.width();
        let height = pen.height().saturating_sub(BELOW);
        let of_chosen = |item: Option<Item>| item.is_some() && item == self.cursor.key();
        let chosen_first = self.rows.iter().position(|row| of_chosen(row.item)).unwrap_or(0);
        let first = crate::tui::paint::first_seen(chosen_first, self.rows.len(), usize::from(height));
        let mut cursor = None;
        for (y, (at, row)) in (1..=height).zip(self.rows.iter().enumerate().skip(first)) {
            let Some(item) = row.item else {
                pen.put(0, y, row.name, Part::Strong);
                continue;
            };
            let is_wide = matches!(item, Item::Caution(_) | Item::Learned);
            let chosen = of_chosen(row.item) && at == chosen_first;
            let mark = if chosen { ">" } else { " " };
            pen.put(0, y, mark, Part::Plain);
            let x = pen.put_in(NAME_AT, y, SIDE_AT - NAME_AT - 1, row.name, Part::Strong);
            pen.put_in(SIDE_AT, y, text_at(columns) - SIDE_AT - 1, &row.side, Part::Plain);
            pen.put(if is_wide { 2 } else { text_at(columns) }, y, &row.text, Part::Plain);
            if chosen {
                pen.mark(0, y, if is_wide { 1 } else { x }, Part::Chosen);
                cursor = pen.at(0, y);
            }
        }
        let lines = pen.height().saturating_sub(height + 1);
        self.draw_below(&mut pen.field(0, height + 1, columns, lines));
        cursor
    }

    /// Where the chosen line comes from, and where it is at work.
    fn draw_below(&self, pen: &mut Pen<'_>) {
        let (title, texts) = match self.cursor.key() {
            Some(Item::Rule(rule)) => {
                let texts = match rule.group() == Rule::Wet.group() {
                    true => vec![format!("At work {}", self.in_words(rule)), format!("Source: {}", source(rule))],
                    false => vec![format!("Source: {}", source(rule))],
                };
                (rule.code(), texts)
            }
            Some(Item::Setting(setting)) => {
                let item = setting.item();
                let numbers = format!("Default {}; may be {}.", item.show(item.default), bounds(item));
                (item.key, vec![numbers, format!("Default from: {}", from(item))])
            }
            Some(Item::Method(at)) => {
                let Some(method) = METHODS.get(at) else { return };
                let sources = format!("Source: {}", method.citations().join("; "));
                (method.name, vec![format!("Range: {}", method.range()), sources])
            }
            Some(Item::Learned) => ("What they say together", self.dried.words.clone()),
            Some(Item::Drying(_)) => ("Likely hours are the method's alone", vec![LEARNING.to_owned()]),
            Some(Item::Caution(_)) | None => return,
        };
        pen.rule(0, title);
        let columns = pen.width();
        for (y, line) in (1..).zip(texts.iter().flat_map(|text| wrap(text, columns))) {
            pen.put(0, y, &line, Part::Plain);
        }
    }

    fn in_words(&self, rule: Rule) -> String {
        let rooms = self.rooms(rule);
        let shown: Vec<String> = rooms.iter().take(8).map(ToString::to_string).collect();
        match rooms.len() {
            0 => "in no room now.".to_owned(),
            all if all > shown.len() => format!("in {all} rooms: {}, … Enter lists them.", shown.join(", ")),
            _ => format!("in {}.", shown.join(", ")),
        }
    }
}

//! The Rulebook: what are the rules, and where do they come from?
//!
//! Five parts: the rules with the rooms in which each is at work now, the numbers that the hospital may set, the methods of
//! estimates, what dry checks taught, and the cautions. The chosen line's source stands below the list.

mod view;

use std::collections::BTreeSet;

use chrono_tz::Tz;
use ratatui::layout::Position;

use super::base::{Opens, Screen};
use super::cursor::Cursor;
use super::keys::Act;
use super::page::Page;
use super::paint::{Pen, wrap};
use super::survey::Survey;
use super::world::World;
use crate::domain::board::Found;
use crate::domain::code::Code;
use crate::domain::dried::{LEGEND, drying_in_words, dryings, hospital_in_words, picture};
use crate::domain::policy::{ITEMS, Mark, PolicyItem, Setting, Unit};
use crate::domain::rule::Rule;
use crate::science::published::METHODS;

/// Said here once, and plainly.
pub(super) const CAUTIONS: [&str; 8] = [
    "The product's label and local law rule over anything shown here.",
    "Only people who are trained for it, and licensed where the law asks for that, apply a pesticide.",
    "A time that is suggested or estimated is for planning. It never opens a bed or a door.",
    "An open bed is open as far as bed bugs are concerned. Whether it is clean is not known here.",
    "In doubt a bed is closed: what was not stated, or cannot be read, counts as unsafe.",
    "This is no medical device, and gives no medical advice.",
    "No patient is ever named here, or described so that one could tell who it is. A bed is occupied or empty.",
    "This is a work board. It shows work, watches no patient, and raises no alarm.",
];

#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
enum Part {
    #[default]
    Rules,
    Settings,
    Methods,
    Dryings,
    Cautions,
}

/// What a line is about.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Item {
    Rule(Rule),
    Setting(Setting),
    /// By its place in the table.
    Method(usize),
    /// What all dryings say together.
    Learned,
    /// By its place, newest first.
    Drying(usize),
    Caution(usize),
}

/// One line of the list. A sentence may take several.
struct Row {
    /// None: a heading.
    item: Option<Item>,
    /// Code or key, on the first line of an item.
    name: &'static str,
    /// How many rooms, or the value in force.
    side: String,
    text: String,
}

#[derive(Default)]
pub(super) struct RulesScreen {
    part: Part,
    cursor: Cursor<Item>,
    items: Vec<Item>,
    rows: Vec<Row>,
    /// For each rule, in the order of the table: the rooms that it closes now.
    at_work: Vec<Vec<Code>>,
    /// For each setting, in the order of the table: the value in force.
    values: Vec<i64>,
    dried: Dried,
}

/// What dry checks taught, as far as it is shown.
#[derive(Default)]
struct Dried {
    words: Vec<String>,
    /// Newest first.
    found: Vec<Found>,
    zone: Tz,
    /// Of the list.
    lines: u16,
}

impl Dried {
    fn of(world: &World<'_>, lines: u16) -> Self {
        let mut found = dryings(world.board);
        found.reverse();
        Self { words: hospital_in_words(world.board), found, zone: world.board.facility().time_zone, lines }
    }
}

impl Default for Item {
    fn default() -> Self {
        Self::Caution(0)
    }
}

impl Screen for RulesScreen {
    fn refresh(&mut self, world: &World<'_>, survey: &Survey, width: u16, lines: u16) {
        self.at_work = at_work(world, survey);
        self.values = ITEMS.iter().map(|(setting, _)| world.board.policy().get(*setting)).collect();
        self.items = match self.part {
            Part::Rules => Rule::ALL.iter().copied().map(Item::Rule).collect(),
            Part::Settings => ITEMS.iter().map(|(setting, _)| Item::Setting(*setting)).collect(),
            Part::Methods => (0..METHODS.len()).map(Item::Method).collect(),
            Part::Dryings => {
                self.dried = Dried::of(world, lines.saturating_sub(view::BELOW).max(8));
                std::iter::once(Item::Learned).chain((0..self.dried.found.len()).map(Item::Drying)).collect()
            }
            Part::Cautions => (0..CAUTIONS.len()).map(Item::Caution).collect(),
        };
        self.cursor.settle(&self.items, usize::from(lines.saturating_sub(view::BELOW) / 2));
        self.rows = self.word(width);
    }

    fn walk(&mut self, act: Act, _survey: &Survey) -> bool {
        if act == Act::Filter {
            self.part = match self.part {
                Part::Rules => Part::Settings,
                Part::Settings => Part::Methods,
                Part::Methods => Part::Dryings,
                Part::Dryings => Part::Cautions,
                Part::Cautions => Part::Rules,
            };
            self.cursor.reset();
            return true;
        }
        self.cursor.walk(act, &self.items);
        false
    }

    fn paint(&self, pen: &mut Pen<'_>, _survey: &Survey) -> Option<Position> {
        self.draw(pen)
    }

    fn room(&self, _survey: &Survey) -> Option<Code> {
        None
    }

    fn enter(&self, _world: &World<'_>, _survey: &Survey) -> Opens {
        let Some(item) = self.cursor.key() else { return Opens::Nothing };
        let label = |label: &str, text: String| (label.to_owned(), text);
        let page = match item {
            Item::Rule(rule) => {
                let mut lines = vec![label("", rule.sentence().to_owned()), label("", String::new())];
                lines.push(label("Part", rule.group().to_owned()));
                lines.push(label("Source", source(rule).to_owned()));
                lines.push(label("At work", self.where_at_work(rule)));
                Page::labelled(format!("Rule {}", rule.code()), lines, self.rooms(rule).to_vec())
            }
            Item::Setting(setting) => {
                let item = setting.item();
                let lines = vec![
                    label("", item.meaning.to_owned()),
                    label("", String::new()),
                    label("In force", item.show(self.value(setting))),
                    label("Default", item.show(item.default)),
                    label("May be", bounds(item)),
                    label("From", from(item)),
                    label("Set by", "the housekeeping lead or infection prevention, on the command line:".to_owned()),
                    label("", format!("dryhold note set-policy {} --value VALUE", item.key)),
                ];
                Page::labelled(format!("Setting {}", item.key), lines, vec![])
            }
            Item::Method(at) => {
                let Some(method) = METHODS.get(at) else { return Opens::Nothing };
                let mut lines = vec![label("", method.answers.to_owned()), label("", String::new())];
                lines.push(label("Range", method.range()));
                lines.extend(method.citations().into_iter().map(|it| label("Source", it.to_owned())));
                lines.push(label("Ask", format!("dryhold estimate {} --help, on the command line", method.estimate)));
                lines.push(label("", "An estimate is for planning. It never opens a bed or a door.".to_owned()));
                Page::labelled(format!("Method: {}", method.name), lines, vec![])
            }
            Item::Drying(at) => {
                let Some(found) = self.dried.found.get(at) else { return Opens::Nothing };
                let lines = vec![
                    label("", drying_in_words(found)),
                    label("", String::new()),
                    label("Room", found.room.to_string()),
                    label("Spray", format!("entry {}, ended {}", found.spray, self.ended(found))),
                ];
                Page::labelled(format!("Drying of {}", found.room), lines, vec![found.room])
            }
            Item::Learned | Item::Caution(_) => return Opens::Nothing,
        };
        Opens::Page(page)
    }
}

impl RulesScreen {
    fn rooms(&self, rule: Rule) -> &[Code] {
        self.at_work.get(rule as usize).map(Vec::as_slice).unwrap_or_default()
    }

    fn ended(&self, found: &Found) -> String {
        found.ended.with_timezone(&self.dried.zone).format("%-d %b %Y %H:%M").to_string()
    }

    /// The picture, as high as the list.
    fn learned(&self, columns: u16) -> Vec<String> {
        let wide = columns.saturating_sub(3);
        let legend = wrap(LEGEND, wide);
        let mut lines = picture(&self.dried.found, usize::from(wide), usize::from(self.dried.lines) - legend.len());
        if lines.is_empty() {
            return self.dried.words.iter().flat_map(|text| wrap(text, wide)).collect();
        }
        lines.extend(legend);
        lines
    }

    fn value(&self, setting: Setting) -> i64 {
        self.values.get(setting as usize).copied().unwrap_or(setting.item().default)
    }

    fn where_at_work(&self, rule: Rule) -> String {
        match self.rooms(rule) {
            [] => "in no room now".to_owned(),
            rooms => rooms.iter().map(Code::to_string).collect::<Vec<_>>().join(", "),
        }
    }

    /// The list in lines: every sentence whole.
    fn word(&self, columns: u16) -> Vec<Row> {
        let text_columns = columns.saturating_sub(view::text_at(columns) + 1);
        let mut rows = vec![];
        let mut group = "";
        for item in &self.items {
            let (name, side, text) = match *item {
                Item::Rule(rule) => {
                    if rule.group() != group {
                        group = rule.group();
                        rows.push(Row { item: None, name: group, side: String::new(), text: String::new() });
                    }
                    let side = match self.rooms(rule).len() {
                        0 => String::new(),
                        1 => "1 room".to_owned(),
                        count => format!("{count} rooms"),
                    };
                    (rule.code(), side, rule.sentence().to_owned())
                }
                Item::Setting(setting) => {
                    let item = setting.item();
                    let value = self.value(setting);
                    let changed = if value == item.default { "" } else { " (changed)" };
                    (item.key, item.show(value), format!("{}{changed}", item.meaning))
                }
                Item::Method(at) => match METHODS.get(at) {
                    Some(method) => (method.name, method.estimate.to_owned(), method.answers.to_owned()),
                    None => continue,
                },
                Item::Learned => {
                    let row = |text| Row { item: Some(*item), name: "", side: String::new(), text };
                    rows.extend(self.learned(columns).into_iter().map(row));
                    continue;
                }
                Item::Drying(at) => match self.dried.found.get(at) {
                    Some(found) => ("", self.ended(found), format!("{}: {}", found.room, drying_in_words(found))),
                    None => continue,
                },
                Item::Caution(at) => ("", String::new(), CAUTIONS.get(at).copied().unwrap_or_default().to_owned()),
            };
            let wide = if matches!(item, Item::Caution(_)) { columns.saturating_sub(3) } else { text_columns };
            for (at, text) in wrap(&text, wide).into_iter().enumerate() {
                let (name, side) = if at == 0 { (name, side.clone()) } else { ("", String::new()) };
                rows.push(Row { item: Some(*item), name, side, text });
            }
        }
        rows
    }
}

/// For each rule the rooms that it closes, or whose beds it closes.
fn at_work(world: &World<'_>, survey: &Survey) -> Vec<Vec<Code>> {
    let mut rooms = vec![vec![]; Rule::ALL.len()];
    for line in &survey.rooms {
        let of_beds = line.beds.iter().flat_map(|bed| &bed.blockers).map(|blocker| blocker.rule);
        let mut codes: BTreeSet<&'static str> = of_beds.collect();
        if line.beds.is_empty() {
            codes.extend(world.board.room_blockers(line.code).iter().map(|blocker| blocker.rule.code()));
        }
        for (rule, rooms) in Rule::ALL.iter().zip(&mut rooms) {
            if codes.contains(rule.code()) {
                rooms.push(line.code);
            }
        }
    }
    rooms
}

fn source(rule: Rule) -> &'static str {
    rule.source().unwrap_or("a rule of this tool's own")
}

/// Where a default comes from, and how well it is founded.
fn from(item: &PolicyItem) -> String {
    match item.mark {
        Mark::Assumed if item.source.starts_with("our assumption") => item.source.to_owned(),
        Mark::Common => item.source.to_owned(),
        mark => format!("{} ({})", item.source, mark.word()),
    }
}

fn bounds(item: &PolicyItem) -> String {
    match item.unit {
        Unit::YesNo => "yes or no".to_owned(),
        Unit::Choice(words) => words.join(", "),
        _ => format!("{} to {}", item.show(item.least), item.show(item.most)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::board::Board;

    fn listed(part: Part, columns: u16) -> String {
        let board = Board::new();
        let now = "2026-06-10T06:00:00Z".parse().unwrap();
        let timeline = |_| vec![];
        let entries = &[];
        let world = World::of(&board, now, entries, &timeline);
        let mut screen = RulesScreen { part, ..RulesScreen::default() };
        screen.refresh(&world, &Survey::of(&board, now), columns, 21);
        let line = |row: &Row| format!("{} {}", row.name, row.text);
        screen.rows.iter().map(line).collect::<Vec<_>>().join(" ").split_whitespace().collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn every_rule_setting_method_and_caution_is_listed_whole() {
        for columns in [80, 160] {
            let rules = listed(Part::Rules, columns);
            for rule in Rule::ALL {
                assert!(rules.contains(&format!("{} {}", rule.code(), rule.sentence())), "{rule} at {columns}");
                assert!(rules.contains(rule.group()), "{rule}");
            }
            let settings = listed(Part::Settings, columns);
            for (_, item) in &ITEMS {
                assert!(settings.contains(&format!("{} {}", item.key, item.meaning)), "{}", item.key);
            }
            let methods = listed(Part::Methods, columns);
            for method in &METHODS {
                assert!(methods.contains(&format!("{} {}", method.name, method.answers)), "{}", method.name);
            }
            let cautions = listed(Part::Cautions, columns);
            assert!(CAUTIONS.iter().all(|caution| cautions.contains(caution)), "{cautions}");
        }
    }

    #[test]
    fn the_cautions_say_what_rules_over_the_board_and_what_it_is_not() {
        let all = CAUTIONS.join(" ");
        for words in
            ["label and local law", "trained", "licensed", "for planning", "no medical device", "no medical advice"]
        {
            assert!(all.contains(words), "{words}");
        }
        assert!(all.contains("raises no alarm") && all.contains("No patient is ever named"));
    }
}

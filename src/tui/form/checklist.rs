//! A checklist: walked with arrows and space, a group at a time, in the order in which one walks the room.
//!
//! Nothing is ticked beforehand, and nothing is ticked that was not pointed at; only the rest of one group of an
//! inspection can be marked "looked, nothing seen" at once, after one of the group was answered by itself.

use crate::domain::entry::Sign;
use crate::domain::moves::Answers;

/// What one line of the list may be answered with.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Kind {
    /// Marked or not.
    Mark,
    /// Marked, and the order of marking counts.
    InOrder,
    /// One of these words: typed form and title.
    OneOf(&'static [(&'static str, &'static str)]),
    /// Signs; for an inspection also "nothing seen".
    Signs { nothing: bool },
}

pub(super) const FEELS: Kind = Kind::OneOf(&[("dry", "dry"), ("damp", "damp")]);
pub(super) const BED_MAKES: Kind = Kind::OneOf(&[("made", "made"), ("not-made", "not made")]);
pub(super) const BED_STATES: Kind = Kind::OneOf(&[("occupied", "occupied"), ("empty", "empty")]);

#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Row {
    /// As it is answered: a zone, a bed, a word. Empty: the place is not stated.
    pub item: String,
    pub label: String,
    pub group: String,
    /// Said beside it: that it is looked at first, a caution.
    pub remark: String,
    pub mark: Mark,
    /// Which of the list's words was noted of it last. Never taken over but by a key for its group.
    pub last: Option<usize>,
}

#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) enum Mark {
    #[default]
    Open,
    Marked,
    /// The how-manieth it was marked.
    Nth(u32),
    Word(usize),
    Nothing,
    Seen(Vec<Sign>),
}

/// What a key for the rest of a group did.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Rest {
    /// This list has no such key.
    NoSuchKey,
    /// Nothing: no line of the group was answered by itself yet.
    LookFirst,
    /// It marked them; the line is the first one after the group.
    Before(usize),
    /// It marked them, and there is no group after it.
    LastGroup,
}

#[derive(Clone, Debug, PartialEq)]
pub(super) struct Checklist {
    pub kind: Kind,
    pub rows: Vec<Row>,
}

impl Checklist {
    pub(super) fn marked(&self) -> usize {
        self.rows.iter().filter(|row| row.mark != Mark::Open).count()
    }

    pub(super) fn first_open(&self) -> Option<usize> {
        self.rows.iter().position(|row| row.mark == Mark::Open)
    }

    fn set(&mut self, at: usize, mark: Mark) {
        if let Some(row) = self.rows.get_mut(at) {
            row.mark = mark;
        }
    }

    /// Marks a line with the list's first value. False: there is no such value, as for what was found.
    pub(super) fn mark(&mut self, at: usize) -> bool {
        let mark = match self.kind {
            Kind::Mark => Mark::Marked,
            Kind::InOrder => match self.rows.get(at).map(|row| &row.mark) {
                Some(Mark::Nth(nth)) => Mark::Nth(*nth),
                _ => Mark::Nth(self.last_nth() + 1),
            },
            Kind::OneOf(_) => Mark::Word(0),
            // What was seen there is not wiped away by going on.
            Kind::Signs { nothing: true } => match self.rows.get(at).map(|row| &row.mark) {
                Some(Mark::Open) | None => Mark::Nothing,
                Some(seen) => seen.clone(),
            },
            Kind::Signs { nothing: false } => return false,
        };
        self.set(at, mark);
        true
    }

    fn last_nth(&self) -> u32 {
        let nth = |row: &Row| if let Mark::Nth(nth) = row.mark { nth } else { 0 };
        self.rows.iter().map(nth).max().unwrap_or(0)
    }

    pub(super) fn unmark(&mut self, at: usize) {
        let gone = self.rows.get(at).map(|row| row.mark.clone());
        self.set(at, Mark::Open);
        if let Some(Mark::Nth(gone)) = gone {
            for row in &mut self.rows {
                if let Mark::Nth(nth) = &mut row.mark
                    && *nth > gone
                {
                    *nth -= 1;
                }
            }
        }
    }

    /// Takes the marks of these lines away, but not what was seen: how many.
    pub(super) fn unmark_where(&mut self, is_so: &dyn Fn(&str) -> bool) -> usize {
        let is_gone = |row: &Row| !matches!(row.mark, Mark::Open | Mark::Seen(_)) && is_so(&row.item);
        let gone: Vec<usize> = (0..self.rows.len()).filter(|at| self.rows.get(*at).is_some_and(is_gone)).collect();
        gone.iter().for_each(|at| self.unmark(*at));
        gone.len()
    }

    /// Answers with the numbered value, 1 to 9. True: the line is answered and the walk goes on; signs may be several.
    pub(super) fn number(&mut self, at: usize, number: u8) -> bool {
        let index = usize::from(number).saturating_sub(1);
        match self.kind {
            Kind::OneOf(words) if index < words.len() => {
                self.set(at, Mark::Word(index));
                true
            }
            Kind::Signs { .. } => {
                if let (Some(sign), Some(row)) = (Sign::ALL.get(index), self.rows.get_mut(at)) {
                    let mut seen = if let Mark::Seen(seen) = &row.mark { seen.clone() } else { vec![] };
                    match seen.iter().position(|it| it == sign) {
                        Some(at) => {
                            seen.remove(at);
                        }
                        None => seen.push(*sign),
                    }
                    row.mark = if seen.is_empty() { Mark::Open } else { Mark::Seen(seen) };
                }
                false
            }
            _ => false,
        }
    }

    /// Goes through the values with left and right.
    pub(super) fn turn(&mut self, at: usize, forward: bool) {
        let mut values = vec![Mark::Open];
        match self.kind {
            Kind::Mark => values.push(Mark::Marked),
            Kind::InOrder => {
                if forward {
                    self.mark(at);
                } else {
                    self.unmark(at);
                }
                return;
            }
            Kind::OneOf(words) => values.extend((0..words.len()).map(Mark::Word)),
            Kind::Signs { nothing } => {
                values.extend(nothing.then_some(Mark::Nothing));
                values.extend(Sign::ALL.iter().map(|sign| Mark::Seen(vec![*sign])));
            }
        }
        let now = self.rows.get(at).and_then(|row| values.iter().position(|value| *value == row.mark)).unwrap_or(0);
        let next = (if forward { now + 1 } else { now + values.len() - 1 }) % values.len();
        if let Some(value) = values.get(next) {
            self.set(at, value.clone());
        }
    }

    /// A group can be answered as it was last noted.
    pub(super) fn has_last(&self) -> bool {
        self.rows.iter().any(|row| row.last.is_some())
    }

    /// The rest of the line's group: of an inspection "looked, nothing seen", of beds as they were last noted.
    pub(super) fn rest_of_group(&mut self, at: usize) -> Rest {
        let inspects = self.kind == (Kind::Signs { nothing: true });
        let Some(group) = self.rows.get(at).map(|row| row.group.clone()).filter(|_| inspects || self.has_last()) else {
            return Rest::NoSuchKey;
        };
        if inspects && self.rows.iter().all(|row| row.group != group || row.mark == Mark::Open) {
            return Rest::LookFirst;
        }
        for row in self.rows.iter_mut().filter(|row| row.group == group && row.mark == Mark::Open) {
            row.mark = match row.last {
                _ if inspects => Mark::Nothing,
                Some(word) => Mark::Word(word),
                None => Mark::Open,
            };
        }
        match self.rows.iter().rposition(|row| row.group == group) {
            // What comes after the list is no zone: another press would be typed into it.
            Some(last) if inspects && last + 1 == self.rows.len() => Rest::LastGroup,
            Some(last) => Rest::Before(last + 1),
            None => Rest::NoSuchKey,
        }
    }

    /// A line's value in words.
    pub(super) fn shown(&self, row: &Row) -> String {
        match (&row.mark, self.kind) {
            (Mark::Open, _) => String::new(),
            (Mark::Marked, _) => "yes".to_owned(),
            (Mark::Nth(nth), _) => nth.to_string(),
            (Mark::Word(at), Kind::OneOf(words)) => words.get(*at).map_or("", |(_, title)| title).to_owned(),
            (Mark::Word(_), _) => String::new(),
            (Mark::Nothing, _) => "nothing seen".to_owned(),
            (Mark::Seen(signs), _) => signs.iter().map(|sign| sign.title()).collect::<Vec<_>>().join(", "),
        }
    }

    /// The widest value, for the column that shows them.
    pub(super) fn columns(&self) -> u16 {
        match self.kind {
            Kind::Mark | Kind::InOrder => 3,
            Kind::OneOf(words) => {
                words.iter().map(|(_, title)| u16::try_from(title.len()).unwrap_or(0)).max().unwrap_or(3)
            }
            Kind::Signs { .. } => 14,
        }
    }

    /// Writes the marked lines as answers.
    pub(super) fn answer(&self, name: &str, answers: &mut Answers) {
        let mut rows: Vec<&Row> = self.rows.iter().filter(|row| row.mark != Mark::Open).collect();
        if self.kind == Kind::InOrder {
            rows.sort_by_key(|row| if let Mark::Nth(nth) = row.mark { nth } else { 0 });
        }
        let mut values = vec![];
        for row in rows {
            let with =
                |value: &str| if row.item.is_empty() { value.to_owned() } else { format!("{}={value}", row.item) };
            match (&row.mark, self.kind) {
                (Mark::Word(at), Kind::OneOf(words)) => {
                    values.extend(words.get(*at).map(|(word, _)| with(word)));
                }
                (Mark::Nothing, _) => values.push(with("nothing")),
                (Mark::Seen(signs), _) => values.extend(signs.iter().map(|sign| with(sign.word()))),
                _ => values.push(row.item.clone()),
            }
        }
        answers.set(name, values);
    }

    /// Takes over answers that are known already.
    pub(super) fn take(&mut self, known: &[String]) {
        for text in known {
            let (item, value) = text.split_once('=').unwrap_or((text, ""));
            // A sign alone is one whose place is not stated.
            let item_of = if value.is_empty() && matches!(self.kind, Kind::Signs { .. }) { "" } else { item };
            let Some(at) = self.rows.iter().position(|row| row.item.eq_ignore_ascii_case(item_of)) else { continue };
            match self.kind {
                Kind::Mark | Kind::InOrder => {
                    self.mark(at);
                }
                Kind::OneOf(words) => {
                    if let Some(word) = words.iter().position(|(word, _)| word.eq_ignore_ascii_case(value)) {
                        self.set(at, Mark::Word(word));
                    }
                }
                Kind::Signs { nothing } => match Sign::from_word(if value.is_empty() { item } else { value }) {
                    Some(sign) => self.see(at, sign),
                    None if nothing && value.eq_ignore_ascii_case("nothing") => self.set(at, Mark::Nothing),
                    None => {}
                },
            }
        }
    }

    /// One more sign of a line.
    fn see(&mut self, at: usize, sign: Sign) {
        let Some(row) = self.rows.get_mut(at) else { return };
        match &mut row.mark {
            Mark::Seen(seen) if !seen.contains(&sign) => seen.push(sign),
            Mark::Seen(_) => {}
            _ => row.mark = Mark::Seen(vec![sign]),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn list(kind: Kind) -> Checklist {
        let row = |item: &str, group: &str| Row {
            item: item.to_owned(),
            label: item.to_owned(),
            group: group.to_owned(),
            ..Row::default()
        };
        Checklist { kind, rows: vec![row("A/mattress", "bed A"), row("A/frame", "bed A"), row("chair", "seating")] }
    }

    #[track_caller]
    fn check(list: &Checklist, answers: &[&str]) {
        let mut got = Answers::new();
        list.answer("zones", &mut got);
        assert_eq!(got.all("zones"), answers);
    }

    #[test]
    fn coverage_is_kept_in_the_order_of_marking() {
        let mut zones = list(Kind::InOrder);
        for at in [2, 0, 1] {
            assert!(zones.mark(at));
        }
        check(&zones, &["chair", "A/mattress", "A/frame"]);
        zones.unmark(0);
        check(&zones, &["chair", "A/frame"]);
        zones.mark(0);
        check(&zones, &["chair", "A/frame", "A/mattress"]);
    }

    #[test]
    fn a_dry_check_has_no_group_mark_and_starts_empty() {
        let mut zones = list(FEELS);
        assert_eq!(zones.marked(), 0);
        assert_eq!(zones.rest_of_group(0), Rest::NoSuchKey);
        assert_eq!(zones.marked(), 0);
        zones.mark(0);
        assert!(zones.number(1, 2));
        check(&zones, &["A/mattress=dry", "A/frame=damp"]);
        assert_eq!(zones.first_open(), Some(2));
    }

    #[test]
    fn the_rest_of_a_group_was_looked_at_and_what_was_seen_stays() {
        let mut looks = list(Kind::Signs { nothing: true });
        looks.number(0, 3);
        looks.number(0, 4);
        assert_eq!(looks.rest_of_group(0), Rest::Before(2));
        check(&looks, &["A/mattress=eggs", "A/mattress=cast-skin", "A/frame=nothing"]);
        looks.number(0, 3);
        looks.number(0, 4);
        assert_eq!(looks.first_open(), Some(0));
        assert_eq!(looks.rest_of_group(2), Rest::LookFirst, "a group of which nothing was looked at");
        assert_eq!(looks.first_open(), Some(0));
        looks.mark(2);
        assert_eq!(looks.rest_of_group(2), Rest::LastGroup);
    }

    #[test]
    fn what_was_found_is_never_guessed_from_a_space() {
        let mut seen = list(Kind::Signs { nothing: false });
        assert!(!seen.mark(0));
        assert_eq!(seen.marked(), 0);
        seen.turn(0, true);
        check(&seen, &["A/mattress=live-adult"]);
        seen.turn(0, false);
        assert_eq!(seen.marked(), 0);
    }

    #[test]
    fn a_space_does_not_wipe_away_what_was_seen() {
        let mut looks = list(Kind::Signs { nothing: true });
        looks.number(0, 1);
        assert!(looks.mark(0), "it goes on");
        check(&looks, &["A/mattress=live-adult"]);
    }
}

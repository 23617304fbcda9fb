//! Reads the answers of one move, field by field, and keeps every complaint.
//!
//! Each reader answers `None` both for "not stated" and for "could not be read": the second leaves an error behind,
//! and with any error nothing is built.

use std::collections::BTreeSet;

use chrono::TimeDelta;

use super::logger::trace_asked;
use super::time::{Towards, quoted, read_celsius, read_time};
use super::{Answers, Field, FieldError, FieldKind, Move, places};
use crate::domain::board::Board;
use crate::domain::code::Code;
use crate::domain::entry::{Feel, Known, Number, Sighting, Sign, Time, ZoneLook};
use crate::domain::facility::{RoomPlan, Zone};
use crate::domain::floor::{self, read_floor};
use crate::domain::measured::Measured;
use crate::domain::strokes::{self, Strokes};

/// No label and no cycle asks for more than a year: our assumption.
const MOST_MINUTES: u32 = 525_600;

pub(super) struct Reader<'a> {
    mv: &'static Move,
    pub(super) board: &'a Board,
    answers: &'a Answers,
    pub(super) now: Time,
    /// When it happened, where that was said. None: now.
    pub(super) happened: Option<Time>,
    pub(super) errors: Vec<FieldError>,
}

impl<'a> Reader<'a> {
    /// Complains at once of what is missing, and of answers to questions that the move does not ask.
    pub(super) fn new(mv: &'static Move, answers: &'a Answers, board: &'a Board, now: Time) -> Self {
        let mut reader = Self { mv, board, answers, now, happened: None, errors: vec![] };
        for field in mv.fields.iter().filter(|field| field.required && answers.get(field.name).is_none()) {
            reader.complain(field.name, format!("is missing. {}", asked(field)));
        }
        let asked = |name: &&str| mv.field(name).is_none();
        if let Some(name) = answers.names().find(asked) {
            let message = format!("{} has no field “{}”", mv.verb, quoted(name));
            reader.errors.push(FieldError { field: "target", message });
        }
        reader
    }

    pub(super) fn complain(&mut self, field: &'static str, message: String) {
        self.errors.push(FieldError { field, message });
    }

    fn field(&self, name: &str) -> &'static Field {
        self.mv.field(name).expect("a move is read by its own fields")
    }

    fn one<T>(&mut self, name: &str, read: impl FnOnce(&str) -> Result<T, String>) -> Option<T> {
        let field = self.field(name);
        let texts = self.answers.all(name);
        let text = texts.first()?;
        if texts.len() > 1 {
            self.complain(field.name, "takes one answer".to_owned());
            return None;
        }
        read(text).map_err(|message| self.complain(field.name, message)).ok()
    }

    pub(super) fn several<T>(&mut self, name: &str, read: impl Fn(&str) -> Result<T, String>) -> Option<Vec<T>> {
        let field = self.field(name);
        let texts = self.answers.all(name);
        if texts.is_empty() {
            return None;
        }
        if texts.len() == 1 && is_none(texts[0].as_str()) {
            return Some(vec![]);
        }
        let mut out = vec![];
        for text in texts {
            match read(text) {
                Ok(value) => out.push(value),
                Err(message) => self.complain(field.name, message),
            }
        }
        Some(out)
    }

    /// Whether the move has this field at all.
    pub(super) fn asks(&self, name: &str) -> bool {
        self.mv.field(name).is_some()
    }

    pub(super) fn is_stated(&self, name: &str) -> bool {
        self.answers.get(name).is_some()
    }

    pub(super) fn text(&mut self, name: &str) -> Option<String> {
        self.one(name, |text| Ok(text.to_owned()))
    }

    /// A free text that `none` takes away.
    pub(super) fn text_or_none(&mut self, name: &str) -> Option<String> {
        self.text(name).filter(|text| !is_none(text))
    }

    pub(super) fn word<T: Copy>(&mut self, name: &str, from: impl Fn(&str) -> Option<T>) -> Option<T> {
        let field = self.field(name);
        self.one(name, |text| from(text).ok_or_else(|| not_one_of(text, field)))
    }

    pub(super) fn steps<T: Copy + PartialEq>(
        &mut self,
        name: &str,
        from: impl Fn(&str) -> Option<T>,
    ) -> Option<Vec<T>> {
        let field = self.field(name);
        let steps = self.several(name, |text| from(text).ok_or_else(|| not_one_of(text, field)))?;
        Some(once(steps))
    }

    /// Not answered is unknown, and so is what cannot be read.
    pub(super) fn known(&mut self, name: &str) -> Known {
        let read = |text: &str| {
            Known::from_word(text)
                .ok_or_else(|| format!("“{}” is not understood: type yes, no or unknown", quoted(text)))
        };
        self.one(name, read).unwrap_or_default()
    }

    pub(super) fn yes_no(&mut self, name: &str) -> Option<bool> {
        self.one(name, |text| match Known::from_word(text) {
            Some(Known::Yes) => Ok(true),
            Some(Known::No) => Ok(false),
            _ => Err(format!("“{}” is not understood: type yes or no", quoted(text))),
        })
    }

    pub(super) fn number(&mut self, name: &str) -> Option<u32> {
        let what = match self.field(name).kind {
            FieldKind::Minutes => "a whole number of minutes, 525600 (a year) at most",
            FieldKind::Millilitres => "a whole number of millilitres, 1 at least; leave it out if it is not known",
            FieldKind::Percent => "a whole number from 0 to 100",
            _ => "a whole number",
        };
        let bounds = match self.field(name).kind {
            FieldKind::Minutes => 0..=MOST_MINUTES,
            FieldKind::Millilitres => 1..=u32::MAX,
            FieldKind::Percent => 0..=100,
            _ => 0..=u32::MAX,
        };
        self.one(name, |text| {
            let read = text.trim().parse::<u32>().ok().filter(|number| bounds.contains(number));
            read.ok_or_else(|| format!("“{}” cannot be used: type {what}", quoted(text)))
        })
    }

    pub(super) fn whole(&mut self, name: &str) -> Option<i16> {
        self.one(name, |text| {
            text.trim()
                .parse()
                .map_err(|_| format!("“{}” cannot be used: type a whole number, for example 4 or -1", quoted(text)))
        })
    }

    /// A floor's area that `none` takes away, in square decimetres.
    pub(super) fn floor(&mut self, name: &str) -> Option<u32> {
        let is_taken_away = self.answers.get(name).is_some_and(is_none);
        let read = |text: &str| {
            read_floor(text).ok_or_else(|| format!("“{}” is no floor of a room: {}", quoted(text), floor::WANTED))
        };
        if is_taken_away { None } else { self.one(name, read) }
    }

    /// What was sprayed, in mL, and how it was counted if that was at the pump.
    pub(super) fn amount(&mut self) -> (Option<u32>, Option<Strokes>) {
        let ml = self.number("amount-ml");
        let count = self.number("strokes");
        let each = self.one("ml-per-stroke", |text| {
            let wrong = || format!("“{}” is nothing that a stroke gives: type mL, 0.01 to 1000, as 1.2", quoted(text));
            strokes::read_each(text).ok_or_else(wrong)
        });
        match (self.is_stated("strokes"), self.is_stated("ml-per-stroke")) {
            (false, false) => return (ml, None),
            (true, false) => self.complain(
                "ml-per-stroke",
                "is missing: pump twenty strokes into a measuring jug, and divide by twenty".to_owned(),
            ),
            (false, true) => self.complain("strokes", "is missing: say how many strokes were pumped".to_owned()),
            (true, true) if self.is_stated("amount-ml") => {
                self.complain("strokes", "the amount is given in mL already: give one of the two".to_owned());
            }
            (true, true) => {}
        }
        let (Some(count), Some(each)) = (count, each) else { return (None, None) };
        let strokes = Strokes::new(count, each);
        if strokes.is_none() {
            self.complain("strokes", format!("{count} cannot be used: type 1 to 100000 strokes"));
        }
        (strokes.map(Strokes::ml), strokes)
    }

    pub(super) fn celsius(&mut self, name: &str) -> Option<i32> {
        self.one(name, read_celsius)
    }

    /// The trace that was named, if it is one that was read. None: none was named, or how it is read is wrong.
    pub(super) fn trace(&mut self, field: &'static str) -> Option<Option<Measured>> {
        match trace_asked(self.answers, field) {
            Ok(None) => None,
            Ok(Some(_)) => Some(self.answers.measured(field).cloned()),
            Err(FieldError { field, message }) => {
                self.complain(field, message);
                None
            }
        }
    }

    pub(super) fn time(&mut self, name: &str) -> Option<Time> {
        let (zone, now) = (self.board.facility().time_zone, self.now);
        let (by, towards) = match (self.field(name).kind, self.happened) {
            (FieldKind::TimeAhead, _) => (now, Towards::Future),
            // A spray is noted at its start, everything else at its end.
            (_, Some(start)) if self.mv.verb == "spray" => (start - TimeDelta::seconds(1), Towards::Future),
            (_, Some(end)) => (end, Towards::Before),
            (_, None) => (now, Towards::Past),
        };
        self.one(name, |text| read_time(text, zone, by, towards))
    }

    pub(super) fn entry(&mut self, name: &str) -> Option<Number> {
        self.one(name, |text| {
            let read = text.trim().trim_start_matches('#').parse().ok().filter(|number| *number > 0);
            read.map(Number)
                .ok_or_else(|| format!("“{}” is no entry: type its number, as the timeline shows it", quoted(text)))
        })
    }

    /// A code; of a product also its name, as the screens show it.
    pub(super) fn code(&mut self, name: &str) -> Option<Code> {
        let products = (self.field(name).kind == FieldKind::Product).then(|| self.board.products());
        self.one(name, |text| {
            let is_named = |name: &str| name.trim().eq_ignore_ascii_case(text.trim());
            let named = products.and_then(|products| products.values().find(|it| is_named(&it.name)));
            named.map_or_else(|| Code::new(text).map_err(|error| error.to_string()), |it| Ok(it.code))
        })
    }

    pub(super) fn codes(&mut self, name: &str) -> Option<Vec<Code>> {
        let is_tag = self.field(name).kind == FieldKind::Bags;
        let codes = self.several(name, |text| match Code::new(text) {
            // Two tags with a blank between them would be one bag, and the second one tracked by nobody.
            Ok(code) if is_tag && code.as_str().contains(' ') => {
                Err(format!("“{}” has a blank in it: put a comma between two tags", quoted(text)))
            }
            read => read.map_err(|error| error.to_string()),
        })?;
        Some(once(codes))
    }

    pub(super) fn person(&mut self, name: &str) -> Option<Code> {
        let people = self.board.people();
        self.one(name, |text| {
            let code = Code::new(text).map_err(|error| error.to_string())?;
            let known = || people.values().filter(|it| !it.left).take(12).map(|it| it.initials.to_string());
            people.get(&code).map(|person| person.initials).ok_or_else(|| {
                format!(
                    "nobody here has the initials “{}”; there are {}",
                    quoted(text),
                    known().collect::<Vec<_>>().join(", ")
                )
            })
        })
    }

    pub(super) fn room(&mut self, name: &str) -> Option<Code> {
        let facility = self.board.facility();
        self.one(name, |text| places::room(facility, text).map(|plan| plan.code))
    }

    /// A room, and the bed of it where a bed's code was given.
    pub(super) fn room_and_bed(&mut self, name: &str) -> Option<(Code, Option<Code>)> {
        let facility = self.board.facility();
        self.one(name, |text| {
            let plan = places::room(facility, text)?;
            let is_it = |bed: &&crate::domain::facility::Bed| bed.code.as_str().eq_ignore_ascii_case(text.trim());
            Ok((plan.code, plan.beds.iter().find(is_it).map(|bed| bed.code)))
        })
    }

    /// yes, no or unknown, which has to be said.
    pub(super) fn stated(&mut self, name: &str) -> Option<Known> {
        self.one(name, |text| {
            Known::from_word(text)
                .ok_or_else(|| format!("“{}” is not understood: type yes, no or unknown", quoted(text)))
        })
    }

    pub(super) fn ward(&mut self, name: &str) -> Option<Code> {
        let facility = self.board.facility();
        self.one(name, |text| places::ward(facility, text))
    }

    /// Rooms, or every room of the ward for `all`.
    pub(super) fn rooms(&mut self, name: &str, of_ward: Option<Code>) -> Option<Vec<Code>> {
        let facility = self.board.facility();
        let field = self.field(name);
        if let (true, Some(ward)) = (self.says_all(name), of_ward) {
            return facility.wards.get(&ward).map(|ward| ward.rooms.clone());
        }
        let rooms = self.several(name, |text| places::room(facility, text).map(|plan| plan.code))?;
        let outside = rooms.iter().find(|room| of_ward.is_some() && facility.room(**room).map(|it| it.ward) != of_ward);
        if let Some(room) = outside {
            self.complain(field.name, format!("{room} is not in this ward"));
        }
        Some(once(rooms))
    }

    pub(super) fn says_all(&self, name: &str) -> bool {
        matches!(self.answers.all(name), [only] if only.eq_ignore_ascii_case("all"))
    }

    pub(super) fn beds(&mut self, name: &str, plan: &RoomPlan) -> Option<Vec<Code>> {
        let beds = self.several(name, |text| places::bed(plan, text))?;
        Some(once(beds))
    }

    pub(super) fn zones(&mut self, name: &str, plan: &RoomPlan) -> Option<Vec<Zone>> {
        let board = self.board;
        let beyond = places::zones_beyond_plan(board, plan);
        let zones = self.several(name, |text| places::zone(board, plan, &beyond, text))?;
        Some(once(zones))
    }

    /// The same, where `all` may stand for every zone: only where that is the unsafe answer.
    pub(super) fn zones_or_all(&mut self, name: &str, plan: &RoomPlan) -> Option<Vec<Zone>> {
        if self.says_all(name) {
            let board = self.board;
            let beyond = places::zones_beyond_plan(board, plan);
            Some(plan.all_zones().chain(beyond).collect())
        } else {
            self.zones(name, plan)
        }
    }

    /// At least one zone, each by name.
    pub(super) fn some_zones(&mut self, name: &str, plan: &RoomPlan) -> Option<Vec<Zone>> {
        let field = self.field(name);
        let zones = self.zones(name, plan)?;
        if zones.is_empty() && self.errors.is_empty() {
            self.complain(field.name, "needs at least one zone".to_owned());
        }
        Some(zones)
    }

    fn pair(text: &str, wanted: &str) -> Result<(String, String), String> {
        let wrong = || format!("“{}” is not understood: type {wanted}", quoted(text));
        text.split_once('=').map(|(left, right)| (left.trim().to_owned(), right.trim().to_owned())).ok_or_else(wrong)
    }

    /// `ZONE=dry` or `ZONE=damp`; one zone cannot be both.
    pub(super) fn feels(&mut self, name: &str, plan: &RoomPlan) -> Option<Vec<(Zone, Feel)>> {
        let field = self.field(name);
        let board = self.board;
        let beyond = places::zones_beyond_plan(board, plan);
        let feels = self.several(name, |text| {
            let (zone, feel) = Self::pair(text, "ZONE=dry or ZONE=damp")?;
            if zone.eq_ignore_ascii_case("all") {
                return Err("a dry check names each zone that was felt; `all` is not taken".to_owned());
            }
            let feel = Feel::from_word(&feel).ok_or_else(|| format!("“{}” is neither dry nor damp", quoted(&feel)))?;
            Ok((places::zone(board, plan, &beyond, &zone)?, feel))
        })?;
        let feels = once(feels);
        let mut seen = BTreeSet::new();
        if let Some((zone, _)) = feels.iter().find(|(zone, _)| !seen.insert(*zone)) {
            self.complain(field.name, format!("{zone} is given as dry and as damp: a zone with a damp spot is damp"));
        }
        Some(feels)
    }

    /// `SIGN` or `ZONE=SIGN`.
    pub(super) fn sightings(&mut self, name: &str, plan: &RoomPlan) -> Option<Vec<Sighting>> {
        let board = self.board;
        let beyond = places::zones_beyond_plan(board, plan);
        let sightings = self.several(name, |text| match text.split_once('=') {
            Some((zone, sign)) => {
                Ok(Sighting { sign: read_sign(sign)?, zone: Some(places::zone(board, plan, &beyond, zone)?) })
            }
            None => Ok(Sighting { sign: read_sign(text)?, zone: None }),
        })?;
        Some(once(sightings))
    }

    /// `ZONE=nothing`, `all=nothing` or `ZONE=SIGN`, in the order in which one walks the room.
    pub(super) fn looks(&mut self, name: &str, plan: &RoomPlan) -> Option<Vec<ZoneLook>> {
        enum Item {
            All,
            Looked(Zone),
            Saw(Zone, Sign),
        }
        let board = self.board;
        let beyond = places::zones_beyond_plan(board, plan);
        let items = self.several(name, |text| {
            let (zone, seen) = Self::pair(text, "ZONE=nothing or ZONE=SIGN")?;
            let nothing = seen.eq_ignore_ascii_case("nothing");
            match zone.eq_ignore_ascii_case("all") {
                true if nothing => Ok(Item::All),
                true => Err("a sign is seen in one zone: type ZONE=SIGN".to_owned()),
                false if nothing => Ok(Item::Looked(places::zone(board, plan, &beyond, &zone)?)),
                false => Ok(Item::Saw(places::zone(board, plan, &beyond, &zone)?, read_sign(&seen)?)),
            }
        })?;
        let looked_at = |zone: Zone| {
            let seen = items.iter().filter_map(move |item| match item {
                Item::Saw(where_seen, sign) if *where_seen == zone => Some(*sign),
                _ => None,
            });
            let seen = once(seen.collect());
            let looked = items.iter().any(|item| match item {
                Item::All => true,
                Item::Looked(looked) => *looked == zone,
                Item::Saw(..) => false,
            });
            (looked || !seen.is_empty()).then_some(ZoneLook { zone, seen })
        };
        Some(plan.all_zones().chain(beyond.iter().copied()).filter_map(looked_at).collect())
    }

    /// `BED=occupied` or `BED=empty`, beds of the ward.
    pub(super) fn bed_states(&mut self, name: &str, ward: Code) -> Option<(Vec<Code>, Vec<Code>)> {
        let field = self.field(name);
        let facility = self.board.facility();
        let states = self.several(name, |text| {
            let (bed, state) = Self::pair(text, "BED=occupied or BED=empty")?;
            let is_empty = match state.to_ascii_lowercase().as_str() {
                "occupied" => false,
                "empty" => true,
                other => return Err(format!("“{}” is neither occupied nor empty", quoted(other))),
            };
            let code = Code::new(&bed).map_err(|error| error.to_string())?;
            let plan = facility.room_of_bed(code).filter(|plan| plan.ward == ward);
            let plan = plan.ok_or_else(|| format!("this ward has no bed “{}”", quoted(&bed)))?;
            Ok((places::bed(plan, &bed)?, is_empty))
        })?;
        let states = once(states);
        let mut seen = BTreeSet::new();
        if let Some((bed, _)) = states.iter().find(|(bed, _)| !seen.insert(*bed)) {
            self.complain(field.name, format!("{bed} is given as occupied and as empty"));
        }
        let of = |wanted: bool| states.iter().filter(move |(_, empty)| *empty == wanted).map(|(bed, _)| *bed).collect();
        Some((of(false), of(true)))
    }
}

impl Reader<'_> {
    /// `BED=made` or `BED=not-made`: the beds found made, and those that were not.
    pub(super) fn bed_makes(&mut self, name: &str, plan: &RoomPlan) -> Option<(Vec<Code>, Vec<Code>)> {
        let field = self.field(name);
        let makes = self.several(name, |text| {
            let (bed, make) = Self::pair(text, "BED=made or BED=not-made")?;
            let is_made = match make.to_ascii_lowercase().as_str() {
                "made" => true,
                "not-made" => false,
                other => return Err(format!("“{}” is neither made nor not-made", quoted(other))),
            };
            Ok((places::bed(plan, &bed)?, is_made))
        })?;
        let makes = once(makes);
        let mut seen = BTreeSet::new();
        if let Some((bed, _)) = makes.iter().find(|(bed, _)| !seen.insert(*bed)) {
            self.complain(field.name, format!("{bed} is given as made and as not made"));
        }
        let of = |wanted: bool| makes.iter().filter(move |(_, made)| *made == wanted).map(|(bed, _)| *bed).collect();
        Some((of(true), of(false)))
    }
}

/// Lists with the same thing twice say it once; the first place counts.
pub(super) fn once<T: PartialEq>(list: Vec<T>) -> Vec<T> {
    let mut out: Vec<T> = Vec::with_capacity(list.len());
    for item in list {
        if !out.contains(&item) {
            out.push(item);
        }
    }
    out
}

pub(super) fn is_none(text: &str) -> bool {
    text.trim().eq_ignore_ascii_case("none")
}

fn read_sign(text: &str) -> Result<Sign, String> {
    Sign::from_word(text).ok_or_else(|| {
        let known: Vec<&str> = Sign::ALL.iter().map(|sign| sign.word()).collect();
        format!("“{}” is no sign of bed bugs here: type one of {}", quoted(text), known.join(", "))
    })
}

fn not_one_of(text: &str, field: &Field) -> String {
    match field.kind {
        FieldKind::Words(words) | FieldKind::Steps(words) => {
            format!("“{}” is not one of {}", quoted(text), words.join(", "))
        }
        _ => format!("“{}” is not understood. {}", quoted(text), asked(field)),
    }
}

/// What a field wants, as a sentence.
fn asked(field: &Field) -> String {
    match field.kind {
        FieldKind::Words(words) => format!("Type one of {}", words.join(", ")),
        _ => format!("{}: type {}", field.help, field.kind.hint()),
    }
}

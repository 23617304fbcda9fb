//! A move's questions, one at a time: answers by number or as typed, `?` explains, `back` and `stop` at any of them.
//!
//! Lists are walked item by item, in the order in which one walks the room, what is looked at first before the rest. Nothing
//! is answered beforehand, and at the end everything is read back before it is noted.

use super::Talk;
use super::end::{End, Told};
use crate::cli::Stop;
use crate::desk::Desk;
use crate::domain::board::{Board, State};
use crate::domain::code::Code;
use crate::domain::entry::{Body, Place, PrepStep, Sign};
use crate::domain::facility::{RoomPlan, Zone};
use crate::domain::moves::{self, Answers, Asked, Circumstance, Field, FieldKind, Move, MoveKind, ZoneFilter};
use crate::domain::shown::shown;

pub(super) struct Asking<'a> {
    pub(super) desk: &'a Desk,
    pub(super) talk: &'a mut Talk,
    pub(super) person: Code,
    pub(super) mv: &'static Move,
    pub(super) target: String,
    /// A picture is drawn in plain signs.
    pub(super) ascii: bool,
}

impl Talk {
    /// What every question takes: Enter, `?`, `back`, `stop`. Ok: something else was typed.
    pub(super) fn asked(&mut self, prompt: &str, help: &str) -> Result<Result<String, Reply>, Stop> {
        loop {
            let Some(typed) = self.line(prompt)? else { return Ok(Err(Reply::Stop)) };
            match typed.to_lowercase().as_str() {
                "?" => self.say(help)?,
                "" => return Ok(Err(Reply::Leave)),
                "back" => return Ok(Err(Reply::Back)),
                "stop" => return Ok(Err(Reply::Stop)),
                _ => return Ok(Ok(typed)),
            }
        }
    }
}

/// What was answered, ready to be noted.
pub(super) struct Filled {
    pub(super) place: Place,
    pub(super) body: Body,
    pub(super) told: Told,
    pub(super) answers: Answers,
    /// It was said to be one load with that of an entry.
    pub(super) same_load: bool,
}

/// An answer to one question.
pub(super) enum Reply {
    Answer(Vec<String>),
    /// Enter: as it stands.
    Leave,
    Back,
    Stop,
}

/// One item of a list, as it is answered and as it is read out.
struct Item {
    value: String,
    title: String,
    group: String,
}

impl Asking<'_> {
    /// Every question, until the answers make something that can be noted. None: stopped.
    /// `kept`: what was answered before and not noted.
    pub(super) fn all(&mut self, known: &[(String, String)], kept: Option<Answers>) -> Result<Option<Filled>, Stop> {
        self.talk.say(&format!("{}. {}", self.mv.title, self.mv.about))?;
        if self.mv.on.word().is_some() && self.target.is_empty() {
            match self.talk.asked(&format!("{}: ", self.mv.on.help()), "Where it is about.")? {
                Ok(target) => self.target = target,
                Err(_) => return Ok(None),
            }
        }
        let (board, now) = (self.desk.board(), self.desk.now());
        // Whoever signs is shown what it rests on; the second of two is shown nothing that others found.
        let is_blind = matches!(self.mv.verb, "second-check" | "second-attest");
        if let (MoveKind::Signature, false, Some(room)) = (self.mv.kind, is_blind, self.room().map(|plan| plan.code)) {
            for line in super::told::requirements(board, room) {
                self.talk.say(&line)?;
            }
        }
        let target = Code::new(&self.target).ok();
        let mut answers = target.map(|target| moves::prefill(self.mv, target, board, now)).unwrap_or_default();
        for (name, value) in known {
            if self.mv.field(name).is_some() {
                answers.set(name, [value.as_str()]);
            }
        }
        if self.mv.field("began").is_some() {
            answers.set("began", [moves::show_time_to_type(now, board.facility().time_zone)]);
        }
        let is_kept = kept.is_some();
        if let Some(kept) = kept {
            self.talk.say("Your answers are back: Enter leaves each as it is.")?;
            answers = kept;
        }
        let mut told = Told::default();
        let mut at = 0;
        let mut more = None;
        loop {
            let Some(field) = self.mv.fields.get(at) else {
                match self.end(&mut answers, &mut told)? {
                    End::Filled(filled) => return Ok(Some(*filled)),
                    End::Again(field) => at = field,
                    End::Stop => return Ok(None),
                }
                continue;
            };
            if !self.is_asked(field, &answers) {
                at += 1;
                continue;
            }
            if field.asked.contains(&Asked::Seldom) && answers.get(field.name).is_none() {
                let asks = match more {
                    Some(asks) => asks,
                    None => match self.asks_more(&answers)? {
                        Ok(asks) => asks,
                        Err(Reply::Back) => {
                            at = self.asked_before(at, &answers);
                            continue;
                        }
                        Err(_) => return Ok(None),
                    },
                };
                more = Some(asks);
                if !asks {
                    at += 1;
                    continue;
                }
            }
            if is_kept && is_walked(field.kind) && !answers.all(field.name).is_empty() {
                let prompt = format!(
                    "{}: {} answered. Enter keeps them, a goes through them anew: ",
                    field.label,
                    answers.all(field.name).len()
                );
                match self.talk.asked(&prompt, field.words())? {
                    Err(Reply::Stop) => return Ok(None),
                    Err(Reply::Back) => {
                        at = self.asked_before(at, &answers);
                        continue;
                    }
                    Err(_) => {
                        at += 1;
                        continue;
                    }
                    Ok(_) => {}
                }
            }
            match self.one(field, &answers)? {
                Reply::Answer(values) => answers.set(field.name, values),
                Reply::Leave => {}
                Reply::Stop => return Ok(None),
                Reply::Back => {
                    at = self.asked_before(at, &answers);
                    continue;
                }
            }
            at += 1;
        }
    }

    /// The question before this one.
    fn asked_before(&self, at: usize, answers: &Answers) -> usize {
        let is_asked = |at: &usize| self.mv.fields.get(*at).is_some_and(|it| self.is_asked(it, answers));
        (0..at).rev().find(is_asked).unwrap_or(0)
    }

    /// Few answer what is seldom asked: one question stands for all of it.
    fn asks_more(&mut self, answers: &Answers) -> Result<Result<bool, Reply>, Stop> {
        let seldom = self.mv.fields.iter().filter(|field| field.asked.contains(&Asked::Seldom));
        let labels: Vec<&str> = seldom.filter(|it| self.is_asked(it, answers)).map(|field| field.label).collect();
        let prompt = format!("{} more: {}. y asks them, Enter leaves them out: ", labels.len(), labels.join(", "));
        Ok(match self.talk.asked(&prompt, "Questions that few answer. They may all be left out.")? {
            Ok(typed) => Ok(typed.eq_ignore_ascii_case("y")),
            Err(Reply::Leave) => Ok(false),
            Err(reply) => Err(reply),
        })
    }

    fn room(&self) -> Option<&RoomPlan> {
        moves::room_of_target(self.desk.board(), self.mv.verb, Code::new(&self.target).ok()?)
    }

    pub(super) fn is_asked(&self, field: &Field, answers: &Answers) -> bool {
        let board: &Board = self.desk.board();
        let is_so = |it: Circumstance| match it {
            Circumstance::SeveralBeds => self.room().is_some_and(|plan| {
                moves::beds_there(board, plan).len() > 1 && self.target.eq_ignore_ascii_case(plan.code.as_str())
            }),
            Circumstance::Monitoring => self.room().is_some_and(|plan| board.state(plan.code) == State::Monitoring),
            // No room waits for the tag, or several do.
            Circumstance::BagUnknown => {
                let rooms = Code::new(&self.target).ok().map(|tag| moves::rooms_of_bag(board, tag).len());
                answers.get("room").is_some() || rooms != Some(1)
            }
            Circumstance::OfGap => {
                Code::new(&self.target).is_ok_and(|ward| !board.gaps_of(&Place::Ward(ward)).is_empty())
            }
            Circumstance::FeltDamp => self.room().is_some_and(|plan| board.was_felt_damp(plan.code)),
            Circumstance::FromCase
            | Circumstance::PatientThere
            | Circumstance::PatientGone
            | Circumstance::GoneInWard => moves::is_so_of_patients(it, &self.target, board),
            Circumstance::OfSpray => {
                let number = answers.get("entry").and_then(|text| text.parse().ok()).map(crate::domain::entry::Number);
                let entry = number.and_then(|number| self.desk.entry(number));
                entry.is_some_and(|entry| {
                    matches!(entry.body, Body::Sprayed { .. } | Body::Finding { .. } | Body::Inspected { .. })
                })
            }
        };
        field.asked.iter().all(|asked| asked.holds(answers, is_so))
    }

    fn one(&mut self, field: &'static Field, answers: &Answers) -> Result<Reply, Stop> {
        let label = label(field);
        match field.kind {
            FieldKind::Words(words) => self.choice(field, &label, plain(words), answers),
            FieldKind::Known => self.choice(field, &label, plain(&["yes", "no", "unknown"]), answers),
            FieldKind::YesNo => self.choice(field, &label, plain(&["yes", "no"]), answers),
            FieldKind::Product => {
                let listed = self.desk.board().products().values().filter(|it| !it.withdrawn);
                let listed = listed.map(|it| (it.code.to_string(), shown(&it.name)));
                let items = listed.chain([("unlisted".to_owned(), "none of these".to_owned())]).collect();
                self.choice(field, &label, items, answers)
            }
            FieldKind::Person | FieldKind::Oneself => {
                let here = self.desk.board().people().values().filter(|person| !person.left);
                let items = here.map(|it| (it.initials.to_string(), shown(&it.name))).collect();
                self.choice(field, &label, items, answers)
            }
            FieldKind::Steps(words) => {
                let title = |word: &str| PrepStep::from_word(word).map_or(word.to_owned(), |it| it.title().to_owned());
                let items = words.iter().map(|word| item(word, title(word), "")).collect();
                self.several(field, items)
            }
            FieldKind::Beds => {
                let beds = self.room().map(|plan| match field.name {
                    "bed" => moves::beds_there(self.desk.board(), plan),
                    _ => plan.beds.clone(),
                });
                let beds = beds.into_iter().flatten().map(|bed| bed.code).collect();
                self.several(field, bed_items(beds))
            }
            FieldKind::Zones(filter) => {
                let items = self.zones(filter);
                self.several(field, items)
            }
            FieldKind::Feels => {
                let items = self.zones(ZoneFilter::All);
                self.each(field, items, &["dry", "damp"])
            }
            FieldKind::BedStates => {
                let facility = self.desk.board().facility();
                let ward = Code::new(&self.target).ok().and_then(|ward| facility.wards.get(&ward));
                let rooms = ward.map(|ward| ward.rooms.clone()).unwrap_or_default();
                let plans = rooms.iter().filter_map(|room| facility.room(*room));
                let beds = plans.flat_map(|plan| plan.beds.iter().map(|bed| bed.code)).collect();
                self.each(field, bed_items(beds), &["occupied", "empty"])
            }
            FieldKind::BedMakes => {
                let beds = self.room().map(|plan| self.desk.board().to_check_again(plan.code).1).unwrap_or_default();
                self.each(field, bed_items(beds), &["made", "not-made"])
            }
            FieldKind::Looks => self.looks(field),
            FieldKind::Sightings => self.sightings(field),
            _ => self.text(field, &label, answers),
        }
    }

    /// In walking order, what is looked at first before the rest of its group.
    fn zones(&self, filter: ZoneFilter) -> Vec<Item> {
        let Some(plan) = self.room() else { return vec![] };
        let zones = moves::zones_offered(self.mv, filter, plan.code, self.desk.board());
        let title = |zone: &Zone| {
            let of = plan.zone(*zone);
            let name = of.map_or_else(|| zone.to_string(), |it| shown(&it.name));
            let bed = zone.bed.map(|bed| format!("bed {bed}, ")).unwrap_or_default();
            let first = if of.is_some_and(|it| it.critical) { "; look here first" } else { "" };
            format!("{bed}{name}{first}")
        };
        let group = |zone: &Zone| match zone.bed {
            Some(bed) => format!("bed {bed}"),
            None => plan.zone(*zone).map_or_else(String::new, |it| it.group.word().to_owned()),
        };
        zones.iter().map(|zone| item(&zone.to_string(), title(zone), &group(zone))).collect()
    }

    pub(super) fn asked(&mut self, prompt: &str, help: &str) -> Result<Result<String, Reply>, Stop> {
        self.talk.asked(prompt, help)
    }

    fn text(&mut self, field: &'static Field, label: &str, answers: &Answers) -> Result<Reply, Stop> {
        let known = answers.all(field.name).join(", ");
        let known = if known.is_empty() { known } else { format!(" [{}]", shown(&known)) };
        Ok(match self.asked(&format!("{label}{known}: "), field.words())? {
            Err(reply) => reply,
            Ok(typed) if field.kind.is_list() => Reply::Answer(typed.split(',').map(str::to_owned).collect()),
            Ok(typed) => Reply::Answer(vec![typed]),
        })
    }

    fn choice(
        &mut self,
        field: &'static Field,
        label: &str,
        items: Vec<(String, String)>,
        answers: &Answers,
    ) -> Result<Reply, Stop> {
        let numbered = |(at, (value, title)): (usize, &(String, String))| match value == title {
            true => format!("{} {value}", at + 1),
            false => format!("{} {value} {title}", at + 1),
        };
        let listed: Vec<String> = items.iter().enumerate().map(numbered).collect();
        let known = answers.get(field.name).map(|it| format!(" [{}]", shown(it))).unwrap_or_default();
        loop {
            match self.asked(&format!("{label}. {}{known}: ", listed.join("; ")), field.words())? {
                Err(reply) => return Ok(reply),
                Ok(typed) => {
                    let by_number = typed.parse::<usize>().ok().and_then(|at| items.get(at.checked_sub(1)?));
                    let short = |(value, _): &&(String, String)| {
                        value.eq_ignore_ascii_case(&typed)
                            || (typed.len() == 1 && value.starts_with(&typed.to_lowercase()))
                    };
                    match by_number.or_else(|| items.iter().find(short)) {
                        Some((value, _)) => return Ok(Reply::Answer(vec![value.clone()])),
                        None => {
                            self.talk.say(&format!("“{}” is none of them: type 1 to {}", shown(&typed), items.len()))?
                        }
                    }
                }
            }
        }
    }

    /// Several of a numbered list, in the order in which they are named.
    fn several(&mut self, field: &'static Field, items: Vec<Item>) -> Result<Reply, Stop> {
        for (at, item) in items.iter().enumerate() {
            self.talk.say(&format!("{}: {}", at + 1, item.title))?;
        }
        let prompt = format!("{}. Numbers with commas between, or none: ", label(field));
        loop {
            let typed = match self.asked(&prompt, field.words())? {
                Err(reply) => return Ok(reply),
                Ok(typed) => typed,
            };
            let mut chosen = vec![];
            let mut wrong = None;
            for word in typed.split(',').map(str::trim).filter(|word| !word.is_empty()) {
                let by_number = word.parse::<usize>().ok();
                match by_number.map(|at| at.checked_sub(1).and_then(|at| items.get(at))) {
                    Some(Some(item)) => chosen.push(item.value.clone()),
                    Some(None) => wrong = Some(word.to_owned()),
                    None => chosen.push(word.to_owned()),
                }
            }
            match wrong {
                None => {
                    self.talk.say(&format!("{} of {}", chosen.len(), items.len()))?;
                    return Ok(Reply::Answer(chosen));
                }
                Some(word) => self.talk.say(&format!("there is no {}: type 1 to {}", shown(&word), items.len()))?,
            }
        }
    }

    /// Each item by itself, with one of these words.
    fn each(&mut self, field: &'static Field, items: Vec<Item>, words: &[&str]) -> Result<Reply, Stop> {
        let listed: Vec<String> = words.iter().enumerate().map(|(at, word)| format!("{} {word}", at + 1)).collect();
        let mut said: Vec<Option<String>> = vec![None; items.len()];
        let mut at = 0;
        while let Some(item) = items.get(at) {
            let prompt =
                format!("{} of {}, {}. {}, Enter: left out: ", at + 1, items.len(), item.title, listed.join(", "));
            match self.asked(&prompt, field.words())? {
                Err(Reply::Back) if at == 0 => return Ok(Reply::Back),
                Err(Reply::Back) => {
                    at -= 1;
                    continue;
                }
                Err(Reply::Stop) => return Ok(Reply::Stop),
                Err(_) => said[at] = None,
                Ok(typed) => {
                    let by_number = typed.parse::<usize>().ok().and_then(|at| words.get(at.checked_sub(1)?));
                    let Some(word) = by_number.or_else(|| words.iter().find(|word| word.eq_ignore_ascii_case(&typed)))
                    else {
                        self.talk.say(&format!("“{}” is none of them: type 1 to {}", shown(&typed), words.len()))?;
                        continue;
                    };
                    said[at] = Some(format!("{}={word}", item.value));
                }
            }
            at += 1;
        }
        let answers: Vec<String> = said.into_iter().flatten().collect();
        self.talk.say(&format!("{} of {} answered", answers.len(), items.len()))?;
        Ok(Reply::Answer(answers))
    }

    fn looks(&mut self, field: &'static Field) -> Result<Reply, Stop> {
        let items = self.zones(ZoneFilter::All);
        self.talk
            .say(&format!("Signs: {}. n: nothing seen. g: nothing seen in the rest of the group.", sign_list()))?;
        let mut said: Vec<Vec<String>> = vec![vec![]; items.len()];
        let mut at = 0;
        while let Some(item) = items.get(at) {
            let prompt = format!(
                "{} of {}, {}. n, g, or signs by number; Enter: not looked at: ",
                at + 1,
                items.len(),
                item.title
            );
            match self.asked(&prompt, field.words())? {
                Err(Reply::Back) if at == 0 => return Ok(Reply::Back),
                Err(Reply::Back) => {
                    at -= 1;
                    continue;
                }
                Err(Reply::Stop) => return Ok(Reply::Stop),
                Err(_) => said[at].clear(),
                Ok(typed) if typed.eq_ignore_ascii_case("n") => said[at] = vec![format!("{}=nothing", item.value)],
                Ok(typed) if typed.eq_ignore_ascii_case("g") => {
                    while let Some(same) = items.get(at).filter(|it| it.group == item.group) {
                        said[at] = vec![format!("{}=nothing", same.value)];
                        at += 1;
                    }
                    continue;
                }
                Ok(typed) => {
                    let signs: Option<Vec<&Sign>> = typed.split(',').map(|word| sign(word.trim())).collect();
                    let Some(signs) = signs else {
                        self.talk.say(&format!("signs are {}", sign_list()))?;
                        continue;
                    };
                    said[at] = signs.into_iter().map(|sign| format!("{}={}", item.value, sign.word())).collect();
                }
            }
            at += 1;
        }
        let looked = said.iter().filter(|it| !it.is_empty()).count();
        self.talk.say(&format!("{looked} of {} looked at", items.len()))?;
        Ok(Reply::Answer(said.into_iter().flatten().collect()))
    }

    fn sightings(&mut self, field: &'static Field) -> Result<Reply, Stop> {
        let items = self.zones(ZoneFilter::All);
        let mut seen = vec![];
        loop {
            let prompt = format!("What was seen: {}; Enter: no more: ", sign_list());
            let typed = match self.asked(&prompt, field.words())? {
                Err(Reply::Leave) => return Ok(Reply::Answer(seen)),
                Err(reply) => return Ok(reply),
                Ok(typed) => typed,
            };
            let Some(sign) = sign(&typed) else {
                self.talk.say(&format!("signs are {}", sign_list()))?;
                continue;
            };
            if *sign == Sign::ReportedBites || items.is_empty() {
                seen.push(sign.word().to_owned());
                continue;
            }
            for (at, item) in items.iter().enumerate() {
                self.talk.say(&format!("{}: {}", at + 1, item.title))?;
            }
            let prompt = "Where, by number; Enter: not known: ";
            match self.asked(prompt, "The place where it was seen.")? {
                Err(Reply::Leave) => seen.push(sign.word().to_owned()),
                Err(reply) => return Ok(reply),
                Ok(typed) => match typed.parse::<usize>().ok().and_then(|at| items.get(at.checked_sub(1)?)) {
                    Some(item) => seen.push(format!("{}={}", item.value, sign.word())),
                    None => self.talk.say(&format!("there is no {}: say the sign again", shown(&typed)))?,
                },
            }
        }
    }
}

/// Lists that are gone through item by item, so that Enter says something of an item.
fn is_walked(kind: FieldKind) -> bool {
    use FieldKind::{BedMakes, BedStates, Feels, Looks, Sightings};
    matches!(kind, Feels | Looks | BedStates | BedMakes | Sightings)
}

/// The question, with what has to be known of it at once.
fn label(field: &Field) -> String {
    match (field.required || field.needed_where_asked, field.asked.contains(&Asked::Seldom)) {
        (true, _) => format!("{} (needed)", field.label),
        (false, true) => format!("{} (seldom)", field.label),
        (false, false) => field.label.to_owned(),
    }
}

fn item(value: &str, title: String, group: &str) -> Item {
    Item { value: value.to_owned(), title, group: group.to_owned() }
}

fn bed_items(beds: Vec<Code>) -> Vec<Item> {
    beds.into_iter().map(|bed| item(bed.as_str(), format!("bed {bed}"), "")).collect()
}

fn plain(words: &[&str]) -> Vec<(String, String)> {
    words.iter().map(|word| ((*word).to_owned(), (*word).to_owned())).collect()
}

fn sign(word: &str) -> Option<&'static Sign> {
    let by_number = word.parse::<usize>().ok().and_then(|at| Sign::ALL.get(at.checked_sub(1)?));
    by_number.or_else(|| Sign::ALL.iter().find(|sign| sign.word().eq_ignore_ascii_case(word)))
}

fn sign_list() -> String {
    let signs = Sign::ALL.iter().enumerate().map(|(at, sign)| format!("{} {}", at + 1, sign.title()));
    signs.collect::<Vec<_>>().join(", ")
}

//! A form's end: from its answers to a command, and what the desk's no leaves behind.

use super::{Form, No, Outcome, Spot, Wanted};
use crate::domain::board::LoadAt;
use crate::domain::code::Code;
use crate::domain::decide::{Command, Refusal, decide};
use crate::domain::dry_time::{Aired, Sprayed};
use crate::domain::entry::{Body, CommandId, Cycle};
use crate::domain::likely::likely_of_spray;
use crate::domain::moves::{self, FieldError, MoveKind, Towards};
use crate::domain::need::Need;
use crate::domain::once_more::once_more;
use crate::domain::policy::Setting;
use crate::domain::rule::Rule;
use crate::domain::sheet::read_sheet;
use crate::domain::shown::shown;
use crate::tui::ask::Ask;
use crate::tui::world::World;

/// Of a question that has no answer yet.
pub(super) const STILL_OPEN: &str = "This is still to be answered.";

/// Answers of a spray from which its drying is estimated.
const OF_ESTIMATE: [&str; 7] =
    ["amount-ml", "strokes", "ml-per-stroke", "celsius", "humidity", "outdoor-celsius", "outdoor-humidity"];

impl Form {
    pub(super) fn mends(&self) -> &[(String, Ask)] {
        self.no.as_ref().map(|no| no.mends.as_slice()).unwrap_or_default()
    }

    pub fn has_mends(&self) -> bool {
        !self.mends().is_empty()
    }

    /// Enter would note it now.
    pub fn notes_now(&self) -> bool {
        self.is_at_end() && self.at.row == 0
    }

    /// What Enter does on the chosen line of the end, for the line of keys.
    pub fn enter_does(&self) -> &'static str {
        match self.at.row {
            0 if self.is_signature() => "sign it",
            0 => "note it",
            row if row <= self.mends().len() => "open it first",
            _ => "ask these too",
        }
    }

    /// The numbered move that mends what is missing.
    pub(super) fn mend(&self, number: u8) -> Outcome {
        let at = usize::from(number).checked_sub(1);
        at.and_then(|at| self.mends().get(at)).map_or(Outcome::Stays, |(_, ask)| Outcome::Opens(ask.clone()))
    }

    /// The end line: what is still to be shown, then the command.
    pub(super) fn finish(&mut self, world: &World<'_>) -> Outcome {
        if let Some((_, ask)) = self.at.row.checked_sub(1).and_then(|at| self.mends().get(at)) {
            return Outcome::Opens(ask.clone());
        }
        if self.at.row > 0 {
            self.unfold(world);
            return Outcome::Stays;
        }
        if !self.changed.is_empty() && !self.changed_read {
            self.changed_read = true;
            return Outcome::Stays;
        }
        match self.wanted(world) {
            Ok(wanted) => Outcome::Notes(Box::new(wanted)),
            Err(errors) => {
                self.errors = errors.into_iter().map(|error| self.in_words(error)).collect();
                let wrong = |question: &super::Question| {
                    question.is_asked() && self.errors.iter().any(|(field, _)| field == question.name)
                };
                if let Some(question) = self.questions.iter().position(wrong) {
                    self.at = Spot { question, row: 0 };
                }
                Outcome::Stays
            }
        }
    }

    /// What is wrong, without what one would type on a command line where the form asks otherwise.
    fn in_words(&self, error: FieldError) -> (String, String) {
        let open = self.questions.iter().any(|question| question.name == error.field && !question.is_touched());
        let text = if open { STILL_OPEN.to_owned() } else { shown(&error.message) };
        (error.field.to_owned(), text)
    }

    fn wanted(&self, world: &World<'_>) -> Result<Wanted, Vec<FieldError>> {
        let answers = self.answers();
        let zone = world.board.facility().time_zone;
        let target = answers.get("target").unwrap_or(&self.target).to_owned();
        let mut errors = vec![];
        let mut happened = None;
        if let Some(text) = answers.get("at") {
            match moves::read_time(text, zone, world.now, Towards::Past) {
                Ok(time) => happened = Some(time),
                Err(why) => {
                    let message = format!("{why}{}", moves::sheets_tell_of(world.entries, world.now, zone));
                    errors.push(FieldError { field: "at", message });
                }
            }
        }
        let done_by = answers.get("done-by").and_then(|text| Code::new(text).ok());
        let mut sheet = None;
        if let Some(text) = answers.get("sheet").filter(|_| self.mv.field("sheet").is_none()) {
            match read_sheet(text, world.board, world.entries) {
                Ok(read) => sheet = Some(read),
                Err(message) => errors.push(FieldError { field: "sheet", message }),
            }
        }
        let mut of_move = answers.clone();
        // Asked of every move, and part of the command: the move itself would not know them.
        for name in answers.names().filter(|name| self.mv.field(name).is_none()) {
            of_move.set(name, None::<String>);
        }
        let same_load = self.attach_traces(&mut of_move)?;
        let built = moves::build_at(self.mv, &target, &of_move, world.board, world.now, happened);
        match built {
            Ok((_, body)) if errors.is_empty() && self.changes_nothing(&body, world) => {
                let field = self.questions.iter().find(|question| question.is_asked()).map_or("value", |it| it.name);
                let message = "Nothing is changed: that is in the book already.".to_owned();
                Err(vec![FieldError { field, message }])
            }
            Ok((place, body)) if errors.is_empty() => {
                let mut command = Command::new(CommandId(0), place.clone(), body.clone());
                (command.happened, command.done_by, command.sheet) = (happened, done_by, sheet);
                let confirm = self
                    .owner
                    .and_then(|owner| once_more(world.board, world.entries, &command, owner, world.now, same_load));
                let future_is_meant = self.future_is_meant;
                Ok(Wanted { verb: self.mv.verb, place, body, happened, done_by, sheet, future_is_meant, confirm })
            }
            Ok(_) => Err(errors),
            Err(wrong) => {
                errors.extend(wrong);
                Err(errors)
            }
        }
    }

    /// A setting that is as it was says nothing new.
    fn changes_nothing(&self, body: &Body, world: &World<'_>) -> bool {
        match body {
            Body::PolicySet { key, value } => {
                Setting::from_key(key).is_some_and(|setting| world.board.policy().get(setting) == *value)
            }
            _ => self.mv.kind == MoveKind::Setting && !self.target.is_empty() && !self.is_touched(),
        }
    }

    /// After an answer: whether what was refused still is. It is tried, and nothing is written.
    pub(super) fn refuse_anew(&mut self, world: &World<'_>) {
        let (Some(owner), true) = (self.owner, self.no.as_ref().is_some_and(|no| no.rule.is_some())) else { return };
        let Ok(wanted) = self.wanted(world) else { return };
        let mut command = Command::new(CommandId(0), wanted.place, wanted.body);
        (command.happened, command.done_by, command.sheet) = (wanted.happened, wanted.done_by, wanted.sheet);
        match decide(world.board, &command, owner, world.now) {
            Ok(_) => self.no = None,
            Err(refusal) => {
                if let Some(no) = &mut self.no {
                    (no.text, no.rule) = (shown(&refusal.to_string()), Some(refusal.rule()));
                }
            }
        }
    }

    /// Why the load as typed does not settle its bag; empty: it does.
    pub(super) fn load_fails(&self, (bag, cycle): &(Code, Cycle), world: &World<'_>) -> Vec<String> {
        let (zone, noted) = (world.board.facility().time_zone, world.now);
        let answers = self.answers();
        let said = answers.get("at").and_then(|text| moves::read_time(text, zone, noted, Towards::Past).ok());
        let happened = said.unwrap_or(noted);
        world.board.load_failures(&LoadAt { bag: *bag, cycle, happened, noted, number: None })
    }

    /// The load as typed, and as its logger measured it. None: nothing was typed of it, or it cannot be read.
    pub(super) fn load(&self, world: &World<'_>) -> Option<(Code, Cycle)> {
        let mut answers = self.answers();
        let of_load = ["wash-celsius", "wash-minutes", "dry-celsius", "dry-minutes", moves::TRACE];
        of_load.iter().find(|name| answers.get(name).is_some())?;
        for name in self.answers().names().filter(|name| self.mv.field(name).is_none()) {
            answers.set(name, None::<String>);
        }
        self.attach_traces(&mut answers).ok()?;
        let target = self.answers().get("target").unwrap_or(&self.target).to_owned();
        let (_, body) = moves::build(self.mv, &target, &answers, world.board, world.now).ok()?;
        if let Body::Laundered { bag, cycle, .. } = body { Some((bag, cycle)) } else { None }
    }

    /// When the room is probably dry after this spray, by what was typed so far. Empty: it cannot be read yet.
    pub(super) fn likely_of_spray(&self, world: &World<'_>) -> Vec<String> {
        let Some(plan) = self.room.and_then(|room| world.board.facility().room(room)) else { return vec![] };
        let mut answers = self.answers();
        // What the estimate does not ask, and the move cannot do without.
        for (name, usual) in [("purpose", "preventive"), ("product", "unlisted")] {
            if answers.get(name).is_none() {
                answers.set(name, [usual]);
            }
        }
        let (zone, now) = (world.board.facility().time_zone, world.now);
        let happened = answers.get("at").and_then(|text| moves::read_time(text, zone, now, Towards::Past).ok());
        for name in self.answers().names().filter(|name| self.mv.field(name).is_none()) {
            answers.set(name, None::<String>);
        }
        let body = match moves::build_at(self.mv, &self.target, &answers, world.board, now, happened) {
            Ok((_, body)) => body,
            Err(errors) => {
                let of_estimate = errors.iter().find_map(|error| {
                    let field = self.mv.field(error.field).filter(|_| OF_ESTIMATE.contains(&error.field))?;
                    Some(format!("No estimate: {}: {}", field.label, error.message))
                });
                return of_estimate.into_iter().collect();
            }
        };
        let Body::Sprayed { zones, finished, amount_ml, record, .. } = &body else { return vec![] };
        let sprayed = Sprayed { plan, zones: zones.as_deref(), amount_ml: *amount_ml, aired: Aired::of(record) };
        likely_of_spray(&sprayed, *finished, world.board, world.now)
    }

    /// The desk said no. It stands in the form, with the moves that mend it.
    pub fn refused(&mut self, refusal: &Refusal, world: &World<'_>) {
        let mut mends: Vec<(String, Ask)> = vec![];
        let mut offer = |ask: Ask| {
            let known = mends.iter().any(|(_, it)| it.verb == ask.verb && it.target == ask.target);
            if let (false, Some(mv)) = (known || ask.verb == self.mv.verb, moves::find(ask.verb)) {
                let target = if ask.target.is_empty() { String::new() } else { format!(": {}", ask.target) };
                mends.push((format!("{}{target}", mv.title), ask));
            }
        };
        if let Some(room) = self.room {
            for evidence in refusal.missing() {
                if !matches!(evidence.need, Need::Returned) || self.mv.verb != "return" {
                    offer(Ask::for_need(world.board, room, evidence.need, evidence.cause));
                }
            }
            if let Some(verb) =
                refusal.mend().filter(|verb| !refusal.missing().iter().any(|it| it.need.verb() == *verb))
            {
                offer(Ask::of_room(world.board, room, verb));
            }
        }
        mends.truncate(9);
        // Only what is asked, not what is refused for good: another time may be wrong too.
        let asks = refusal.to_string().contains("is it meant?");
        self.future_is_meant = refusal.rule() == Rule::Future && self.mv.kind == MoveKind::Closer && asks;
        let text = if self.future_is_meant {
            format!("{refusal} If the time is meant, note it once more: it counts at once.")
        } else {
            refusal.to_string()
        };
        self.no = Some(No { text: shown(&text), rule: Some(refusal.rule()), mends });
        self.at = Spot { question: self.questions.len(), row: 0 };
    }

    /// It could not be written.
    pub fn failed(&mut self, text: &str) {
        self.no = Some(No { text: shown(text), rule: None, mends: vec![] });
        self.at = Spot { question: self.questions.len(), row: 0 };
    }

    pub(super) fn help_at_end(&self) -> String {
        let mends = self.mends().len();
        match (self.at.row, self.is_signature()) {
            (0, true) if self.shows.lines.iter().any(|line| line.met == Some(false)) => {
                "Something is missing, so signing is refused. Enter says what mends it.".to_owned()
            }
            (0, true) => "Enter signs it, with your initials and the time. Nothing is written before.".to_owned(),
            (0, false) if self.mv.verb == "accept" => {
                "Enter notes it. Up, then a letter or a number, gives the task to somebody else.".to_owned()
            }
            (0, false) => "Enter notes it. Nothing is written before.".to_owned(),
            (row, _) if row <= mends => {
                "Enter or its number opens what is missing. This form stays, and comes back after it.".to_owned()
            }
            _ => "Enter asks these too. They may all be left open.".to_owned(),
        }
    }
}

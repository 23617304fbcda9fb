//! The end of a move's questions: everything is read back, with when it happened and who did it, before it is noted.

use super::ask::{Asking, Filled, Reply};
use crate::cli::picture::picture;
use crate::cli::{Stop, note};
use crate::desk::Logged;
use crate::domain::board::LoadAt;
use crate::domain::code::Code;
use crate::domain::entry::{Body, Time};
use crate::domain::laundry;
use crate::domain::measured::Measured;
use crate::domain::moves::{self, Answers, FieldKind, Move, MoveKind, On, Towards, TraceAsked, TraceFrom};
use crate::domain::sheet::{being_entered, read_sheet};
use crate::domain::shown::shown;

/// What is said at the end of every move.
#[derive(Clone, Copy, Default)]
pub(super) struct Told {
    /// None: now.
    pub(super) happened: Option<Time>,
    /// None: whoever notes it.
    pub(super) done_by: Option<Code>,
    /// The sheet of a downtime that it stands on.
    pub(super) sheet: Option<Code>,
}

impl Asking<'_> {
    /// Reads everything back. What cannot be read is asked again.
    pub(super) fn end(&mut self, answers: &mut Answers, told: &mut Told) -> Result<End, Stop> {
        let (board, now) = (self.desk.board(), self.desk.now());
        let mut given = Answers::new();
        for field in self.mv.fields.iter().filter(|field| self.is_asked(field, answers)) {
            given.set(field.name, answers.all(field.name).iter().map(String::as_str));
        }
        if self.mv.fields.iter().any(|field| field.kind == FieldKind::Oneself && given.get(field.name).is_none()) {
            given.set("by", [self.person.as_str()]);
        }
        let logged = note::attach_traces(self.desk, &mut given).map_err(|error| vec![error]);
        let built = logged.and_then(|logged| {
            let built = moves::build_at(self.mv, &self.target, &given, board, now, told.happened);
            built.map(|(_, body)| (body, logged))
        });
        let (body, logged) = match built {
            Ok(built) => built,
            Err(errors) => {
                for error in &errors {
                    let name = self.mv.field(error.field).map_or(error.field, |field| field.label);
                    self.talk.say(&format!("{name}: {}", shown(&error.message)))?;
                }
                // Only what is asked can be answered anew; anything else ends it, with what was said above.
                let asked = |name: &str| {
                    self.mv.fields.iter().position(|field| field.name == name && self.is_asked(field, answers))
                };
                return Ok(errors.iter().find_map(|error| asked(error.field)).map_or(End::Stop, End::Again));
            }
        };
        for field in self.mv.fields {
            let values = given.all(field.name);
            if !values.is_empty() {
                self.talk.say(&format!("{}: {}", field.label, shown(&values.join(", "))))?;
            }
        }
        let picture = self.trace_told(&body, &logged)?;
        let zone = board.facility().time_zone;
        let late = matches!(self.mv.kind, MoveKind::Closer | MoveKind::Fact);
        let has_sheets = !being_entered(board, self.desk.entries()).is_empty();
        loop {
            let when = told.happened.map_or("now".to_owned(), |at| moves::show_time_to_type(at, zone));
            let by = told.done_by.unwrap_or(self.person);
            let from = told.sheet.map(|sheet| format!(", sheet {sheet}")).unwrap_or_default();
            self.talk.say(&format!(
                "{}{}, {when}, done by {by}{from}",
                self.mv.title,
                target_words(self.mv, &self.target)
            ))?;
            if !late {
                break;
            }
            let mut words = vec!["at TIME", "by INITIALS"];
            let mut help = "at TIME changes when it happened, by INITIALS who did it; Enter goes on.".to_owned();
            if has_sheets {
                words.push("sheet NUMBER");
                help.push_str(" sheet NUMBER says on which sheet of the downtime it stands.");
            }
            if !picture.is_empty() {
                words.push("picture");
                help.push_str(" picture draws the trace in signs.");
            }
            match self.asked(&format!("{}, or Enter to go on: ", words.join(", ")), &help)? {
                Err(Reply::Leave) => break,
                Err(Reply::Back) => return Ok(End::Again(0)),
                Err(_) => return Ok(End::Stop),
                Ok(typed) if typed == "picture" && !picture.is_empty() => {
                    for line in &picture {
                        self.talk.say(line)?;
                    }
                }
                Ok(typed) => match typed.split_once(' ') {
                    Some(("at", time)) => match moves::read_time(time.trim(), zone, now, Towards::Past) {
                        Ok(time) => told.happened = Some(time),
                        Err(why) => {
                            let sheets = moves::sheets_tell_of(self.desk.entries(), now, zone);
                            self.talk.say(&shown(&format!("{why}{sheets}")))?;
                        }
                    },
                    Some(("by", who)) => match Code::new(who.trim()) {
                        Ok(code) => told.done_by = Some(code),
                        Err(why) => self.talk.say(&shown(&why.to_string()))?,
                    },
                    Some(("sheet", number)) => match read_sheet(number, board, self.desk.entries()) {
                        Ok(sheet) => told.sheet = Some(sheet),
                        Err(why) => self.talk.say(&shown(&why))?,
                    },
                    _ => self.talk.say(&help)?,
                },
            }
        }
        // A bare time belongs to when it happened, which may have been said only now.
        let built = moves::build_at(self.mv, &self.target, &given, board, now, told.happened);
        let (place, body) = match built {
            Ok(built) => built,
            Err(errors) => {
                for error in &errors {
                    self.talk.say(&shown(&error.message))?;
                }
                return Ok(End::Again(0));
            }
        };
        let is_kept = |field: &'static str| {
            matches!(moves::trace_asked(&given, field), Ok(Some(TraceAsked { from: TraceFrom::Entry(_), .. })))
        };
        let same_load = moves::TRACES.into_iter().any(is_kept);
        Ok(End::Filled(Box::new(Filled { place, body, told: *told, answers: answers.clone(), same_load })))
    }
}

impl Asking<'_> {
    /// Says what a load's traces show, a line each, and gives their pictures for whoever wants to have them drawn.
    fn trace_told(&mut self, body: &Body, read: &[Logged]) -> Result<Vec<String>, Stop> {
        let Body::Laundered { bag, cycle, .. } = body else { return Ok(vec![]) };
        let criterion = laundry::criterion_of(self.desk.board().policy());
        for logged in read.iter().filter(|logged| !logged.remark.is_empty()) {
            self.talk.say(&format!("Trace: {}", shown(&logged.remark)))?;
        }
        for (met, text) in laundry::trace_told(cycle, criterion) {
            let begin = match met {
                Some(true) => "met: ",
                Some(false) => "NOT met: ",
                None => "",
            };
            self.talk.say(&format!("{begin}{}", shown(&text)))?;
        }
        if cycle.traces().next().is_some() {
            let noted = self.desk.now();
            // When it happened is asked afterwards.
            let load = LoadAt { bag: *bag, cycle, happened: noted, noted, number: None };
            for why in self.desk.board().load_misfits(&load) {
                self.talk.say(&format!("NOT met: {}", shown(&why)))?;
            }
        }
        let draw = |(kept, logged): (&Measured, &Logged)| {
            let asks = laundry::trace_asks(kept.machine, criterion);
            logged.trace.as_ref().map(|trace| picture(trace, logged.reserve, &asks, self.ascii))
        };
        Ok(cycle.traces().zip(read).filter_map(draw).flatten().collect())
    }
}

pub(super) enum End {
    Filled(Box<Filled>),
    /// This question again.
    Again(usize),
    Stop,
}

fn target_words(mv: &Move, target: &str) -> String {
    match mv.on {
        On::Hospital => String::new(),
        _ => format!(", {}", shown(target)),
    }
}

//! A logger's file in the form of a load: named in a field, read by whoever may read files, and shown before it is noted.

use super::shows::Shows;
use super::{Form, Spot};
use crate::desk::Logged;
use crate::domain::moves::{self, Answers, FieldError, OTHER_TRACE, TRACE, TRACES, TraceAsked, TraceFrom, trace_asked};
use crate::domain::shown::shown;
use crate::tui::world::World;

/// What became of a file that was named.
pub(super) struct Read {
    asked: TraceAsked,
    what: Result<Box<Logged>, String>,
}

impl Form {
    /// Whether the keys go to the question of this name.
    pub(super) fn is_on(&self, name: &str) -> bool {
        self.questions.get(self.at.question).is_some_and(|question| question.name == name)
    }

    /// What was read of the file in whose question the keys are is read anew.
    pub(super) fn forget_the_file(&mut self) {
        if let Some(field) = TRACES.into_iter().find(|field| self.is_on(field)) {
            self.read.retain(|read| read.asked.field != field);
        }
    }

    /// A trace that is named whole, and was not read so yet.
    pub(super) fn unread(&self) -> Option<Box<TraceAsked>> {
        self.mv.field(moves::TRACE)?;
        let answers = self.answers();
        // Half a name, or half a number, is not read.
        let is_typed = |name: &str| self.is_on(name) && answers.get(name).is_some();
        if TRACES.iter().chain(&["uncertainty-c", "other-uncertainty-c"]).any(|name| is_typed(name)) {
            return None;
        }
        let asked = TRACES.into_iter().filter_map(|field| trace_asked(&answers, field).ok().flatten());
        let is_read = |asked: &TraceAsked| self.read.iter().any(|read| read.asked == *asked);
        asked.into_iter().find(|asked| !is_read(asked)).map(Box::new)
    }

    /// The file was read, or could not be.
    pub fn trace_read(&mut self, asked: TraceAsked, what: Result<Box<Logged>, String>, world: &World<'_>) {
        let named = asked.field;
        self.errors.retain(|(field, _)| field != named);
        if let Err(why) = &what {
            self.errors.push((named.to_owned(), in_words(why)));
            let field = self.questions.iter().position(|question| question.name == named);
            self.at = field.map_or(self.at, |question| Spot { question, row: 0 });
        }
        self.read.retain(|read| read.asked.field != named);
        self.read.push(Read { asked, what });
        self.shows = Shows::of(self, world);
    }

    /// What was read of the trace that the answers name now in this field.
    pub(super) fn logged(&self, field: &'static str) -> Option<&Logged> {
        let asked = trace_asked(&self.answers(), field).ok().flatten()?;
        let read = self.read.iter().find(|read| read.asked == asked)?;
        read.what.as_deref().ok()
    }

    /// The trace that is drawn: that of the question in which the keys are, else the first.
    pub(super) fn drawn(&self) -> Option<(usize, &Logged)> {
        let is_of_other = self.is_on(OTHER_TRACE) || self.is_on("other-uncertainty-c");
        let other = if is_of_other { self.logged(OTHER_TRACE).map(|it| (1, it)) } else { None };
        other.or_else(|| self.logged(TRACE).map(|it| (0, it)))
    }

    /// Gives the answers what was read of the traces that they name. True: one is said to be of the load of another entry.
    pub(super) fn attach_traces(&self, answers: &mut Answers) -> Result<bool, Vec<FieldError>> {
        let mut same_load = false;
        for field in TRACES {
            if answers.get(field).is_none() {
                continue;
            }
            let Some(asked) = trace_asked(answers, field).map_err(|error| vec![error])? else { continue };
            match self.read.iter().find(|read| read.asked == asked).map(|read| &read.what) {
                Some(Ok(logged)) => answers.attach(field, logged.measured.clone()),
                Some(Err(why)) => return Err(vec![FieldError { field, message: in_words(why) }]),
                // The table says that it was not read.
                None => {}
            }
            same_load |= matches!(asked.from, TraceFrom::Entry(_));
        }
        Ok(same_load)
    }

    /// Under the field of the file: that it was read, and what it is.
    pub(super) fn read_words(&self, field: &str) -> Option<String> {
        let logged = self.logged(TRACES.into_iter().find(|it| *it == field)?)?;
        let measured = &logged.measured;
        let sensors = if measured.sensors.len() == 1 {
            "1 sensor".to_owned()
        } else {
            format!("{} sensors", measured.sensors.len())
        };
        let hottest = f64::from(measured.hottest_decicelsius().unwrap_or_default()) / 10.0;
        let remark = if logged.remark.is_empty() { String::new() } else { format!("; {}", shown(&logged.remark)) };
        Some(format!("read: {} min, {sensors}, hottest {hottest} °C{remark}", measured.seconds / 60))
    }
}

/// Without what one would type on a command line.
fn in_words(why: &str) -> String {
    let mut why = why.to_owned();
    for (option, label) in [
        ("unit", "Degrees in file"),
        ("time", "Times in file"),
        ("zone", "Logger's time zone"),
        ("clock-checked", "Logger's clock checked"),
    ] {
        let option = format!("--{option}");
        // “--unit c or --unit f” names its question once.
        why = why.replace(&format!(" or {option}"), " or");
        why = why.replace(&option, &format!("“{label}”"));
    }
    shown(&why)
}

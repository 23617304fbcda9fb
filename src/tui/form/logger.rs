//! A logger's file in the form of a load: named in a field, read by whoever may read files, and shown before it is noted.

use super::shows::Shows;
use super::{Form, Spot};
use crate::desk::Logged;
use crate::domain::moves::{self, Answers, FieldError, TraceAsked, TraceFrom, trace_asked};
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

    /// A trace that is named whole, and was not read so yet.
    pub(super) fn unread(&self) -> Option<Box<TraceAsked>> {
        self.mv.field(moves::TRACE)?;
        let typing = [moves::TRACE, "uncertainty-c"].iter().any(|name| self.is_on(name));
        let asked = trace_asked(&self.answers()).ok().flatten()?;
        let is_read = self.read.as_ref().is_some_and(|read| read.asked == asked);
        (!typing && !is_read).then(|| Box::new(asked))
    }

    /// The file was read, or could not be.
    pub fn trace_read(&mut self, asked: TraceAsked, what: Result<Box<Logged>, String>, world: &World<'_>) {
        self.errors.retain(|(field, _)| field != moves::TRACE);
        if let Err(why) = &what {
            self.errors.push((moves::TRACE.to_owned(), in_words(why)));
            let field = self.questions.iter().position(|question| question.name == moves::TRACE);
            self.at = field.map_or(self.at, |question| Spot { question, row: 0 });
        }
        self.read = Some(Read { asked, what });
        self.shows = Shows::of(self, world);
    }

    /// What was read of the trace that the answers name now.
    pub(super) fn logged(&self) -> Option<&Logged> {
        let asked = trace_asked(&self.answers()).ok().flatten()?;
        let read = self.read.as_ref().filter(|read| read.asked == asked)?;
        read.what.as_deref().ok()
    }

    /// Gives the answers what was read of the trace that they name. True: it is said to be of the load of another entry.
    pub(super) fn attach_trace(&self, answers: &mut Answers) -> Result<bool, Vec<FieldError>> {
        if answers.get(moves::TRACE).is_none() {
            return Ok(false);
        }
        let Some(asked) = trace_asked(answers).map_err(|error| vec![error])? else { return Ok(false) };
        match self.read.as_ref().filter(|read| read.asked == asked).map(|read| &read.what) {
            Some(Ok(logged)) => answers.attach(logged.measured.clone()),
            Some(Err(why)) => return Err(vec![FieldError { field: moves::TRACE, message: in_words(why) }]),
            // The table says that it was not read.
            None => {}
        }
        Ok(matches!(asked.from, TraceFrom::Entry(_)))
    }

    /// Under the field of the file: that it was read, and what it is.
    pub(super) fn read_words(&self) -> Option<String> {
        let logged = self.logged()?;
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
    let why = why.replace("--unit c or --unit f", "“Degrees in file” c or f");
    let why = why.replace("--unit ", "“Degrees in file” ").replace("--unit", "“Degrees in file”");
    shown(&why.replace("--minutes", "yes to “Times are minutes”"))
}

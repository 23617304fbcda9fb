//! The story's form: steps that somebody notes, each with answers as one would type them, at so many minutes before now.

/// A day, in minutes.
pub(super) const DAY: i64 = 24 * 60;

/// An hour, in minutes.
pub(super) const HOUR: i64 = 60;

/// Everything that is noted, in any order: it is sorted by when it was noted.
#[derive(Default)]
pub(super) struct Story {
    pub(super) steps: Vec<Step>,
}

/// One move as it is noted.
pub(super) struct Step {
    /// When it was noted, in minutes before now.
    pub(super) minutes_ago: i64,
    /// How many minutes before its noting it happened.
    pub(super) late: i64,
    pub(super) who: &'static str,
    pub(super) verb: &'static str,
    pub(super) target: String,
    pub(super) answers: Vec<(&'static str, Answer)>,
    /// A name by which later steps speak of this entry.
    pub(super) label: Option<&'static str>,
}

/// One answer of a step.
pub(super) enum Answer {
    Text(String),
    /// A time, in minutes before now.
    At(i64),
    /// The number of the entry of this label.
    Entry(&'static str),
    /// These zones of the target, each followed by this text (`=dry`), as they are in the hospital's own set.
    Zones(Which, &'static str),
}

#[derive(Clone, Copy)]
pub(super) enum Which {
    Sprayable,
    /// Usual hiding places that may be sprayed.
    SprayableHiding,
    OtherMethod,
    /// Usual hiding places that are never sprayed.
    OtherHiding,
    /// Soft seats.
    Soft,
}

impl Story {
    pub(super) fn note(
        &mut self,
        minutes_ago: i64,
        who: &'static str,
        verb: &'static str,
        target: impl Into<String>,
    ) -> &mut Step {
        let target = target.into();
        self.steps.push_mut(Step { minutes_ago, late: 0, who, verb, target, answers: vec![], label: None })
    }
}

impl Step {
    pub(super) fn say(&mut self, field: &'static str, text: impl Into<String>) -> &mut Self {
        self.answers.push((field, Answer::Text(text.into())));
        self
    }

    pub(super) fn at(&mut self, field: &'static str, minutes_ago: i64) -> &mut Self {
        self.answers.push((field, Answer::At(minutes_ago)));
        self
    }

    pub(super) fn entry(&mut self, field: &'static str, label: &'static str) -> &mut Self {
        self.answers.push((field, Answer::Entry(label)));
        self
    }

    pub(super) fn zones(&mut self, field: &'static str, which: Which, after: &'static str) -> &mut Self {
        self.answers.push((field, Answer::Zones(which, after)));
        self
    }

    /// It happened so many minutes before it was noted.
    pub(super) fn late(&mut self, minutes: i64) -> &mut Self {
        self.late = minutes;
        self
    }

    pub(super) fn called(&mut self, label: &'static str) -> &mut Self {
        self.label = Some(label);
        self
    }
}

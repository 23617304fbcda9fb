//! The treatment record: one view of a spray with every field that any of the rules on records asks for.
//!
//! Nothing here decides whether a bed is open. A record that lacks what the hospital's chosen rule asks for is incomplete,
//! and names each field with the paragraph that wants it.
//!
//! Sources: US 7 CFR 110.3(a) (read, edition of 2006); US 40 CFR 171.303(b)(7) (read in two lists of it, one the EPA's own
//! for its plan in Indian country, one a compliance library's). Both speak of restricted-use products; a hospital may keep
//! to either for every product.
//!
//! A record is read by the hospital's lists as they were on the day of its spray.

use chrono::TimeDelta;

use super::board::CLOCK_TOLERANCE;
use super::code::Code;
use super::entry::{Body, Entry, Known, Number, OtherMethod, Purpose, Time, TreatmentRecord};
use super::facility::{Facility, Zone};
use super::people::{Person, Product};
use super::policy::{Policy, Setting};

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum RecordRule {
    None,
    Cfr7Part110,
    Cfr40Part171,
}

impl RecordRule {
    /// The rule that the hospital chose.
    pub fn of(policy: &Policy) -> Self {
        match policy.word(Setting::RecordRule) {
            "7-cfr-110.3" => Self::Cfr7Part110,
            "40-cfr-171.303" => Self::Cfr40Part171,
            _ => Self::None,
        }
    }

    /// By when a record is written and how long it is kept, where the rule says so.
    pub fn keeping(self) -> Option<&'static str> {
        match self {
            Self::None => None,
            Self::Cfr7Part110 => Some(
                "7 CFR 110.3: written within 14 days of the application, and kept for 2 years (read in a summary of it)",
            ),
            Self::Cfr40Part171 => {
                Some("40 CFR 171.303(b)(7): kept for 2 years at least (read in a compliance library's list of it)")
            }
        }
    }
}

/// How long after a spray its record is to be written, by the rule. Read in a summary of 7 CFR 110.3.
pub const WRITTEN_WITHIN_DAYS: i64 = 14;

macro_rules! fields {
    ($($name:ident => $word:literal, $title:literal;)+) => {
        /// A field of the record, under the word by which a spray's form and an amendment name it.
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
        pub enum FieldName { $($name),+ }

        impl FieldName {
            pub const ALL: &'static [Self] = &[$(Self::$name),+];
            pub fn word(self) -> &'static str {
                match self { $(Self::$name => $word),+ }
            }
            pub fn title(self) -> &'static str {
                match self { $(Self::$name => $title),+ }
            }
        }
    };
}

fields! {
    Location => "location", "room";
    Site => "zones", "zones treated";
    Date => "date", "date";
    Started => "start", "start";
    Finished => "finish", "finish";
    Purpose => "purpose", "purpose";
    TargetPest => "target-pest", "target pest";
    ForWhom => "for-whom", "for whom (name and address)";
    Applicator => "applicator", "applicator";
    Certificate => "certificate", "certificate number";
    Supervisor => "supervisor", "supervisor";
    Product => "product", "product";
    Registration => "registration", "registration number";
    ActiveIngredient => "active-ingredient", "active ingredient";
    Percent => "percent", "percent of it";
    Rate => "rate", "rate as the label gives it";
    Amount => "amount-ml", "total amount";
    PatientInside => "patient-inside", "patient inside";
    Area => "area", "size of the area treated";
    Methods => "methods", "method";
    Climate => "climate", "room climate";
    ReentryWords => "re-entry", "the label on re-entry";
    ReentryMet => "re-entry-met", "its condition was met";
    Neighbours => "neighbours-checked", "neighbours checked";
    NoticeUntil => "notice-until", "notice posted until";
    Disposal => "disposal", "disposal";
    FollowUp => "follow-up-due", "follow-up due";
    Slip => "slip", "contractor's slip";
}

impl FieldName {
    /// The paragraph of a rule that asks for this field; none if it does not.
    pub fn paragraph(self, rule: RecordRule) -> Option<&'static str> {
        match rule {
            RecordRule::None => None,
            RecordRule::Cfr7Part110 => match self {
                Self::Product | Self::Registration => Some("7 CFR 110.3(a)(1)"),
                // Of the product itself; the amount of finished mixture tells it only together with the rate.
                Self::Amount | Self::Rate => Some("7 CFR 110.3(a)(2)"),
                Self::Location | Self::Area | Self::Site => Some("7 CFR 110.3(a)(3)"),
                Self::Date => Some("7 CFR 110.3(a)(4)"),
                Self::Applicator | Self::Certificate => Some("7 CFR 110.3(a)(5)"),
                Self::Supervisor => {
                    Some("7 CFR 110.3(a)(5): the applicator had no certificate on file that day, so whose is it?")
                }
                _ => None,
            },
            RecordRule::Cfr40Part171 => match self {
                Self::ForWhom => Some("40 CFR 171.303(b)(7), person for whom it was applied"),
                Self::Location => Some("40 CFR 171.303(b)(7), location"),
                Self::Area => Some("40 CFR 171.303(b)(7), size of the area"),
                Self::Site => Some("40 CFR 171.303(b)(7), site"),
                Self::Date | Self::Started => Some("40 CFR 171.303(b)(7), time and date"),
                Self::Product => Some("40 CFR 171.303(b)(7), product name"),
                Self::Registration => Some("40 CFR 171.303(b)(7), registration number"),
                Self::Amount | Self::Rate => Some("40 CFR 171.303(b)(7), total amount per location"),
                Self::Applicator | Self::Certificate => Some("40 CFR 171.303(b)(7), certified applicator"),
                Self::Supervisor => Some(
                    "40 CFR 171.303(b)(7), certified applicator: the applicator had no certificate on file that day, so whose \
                     is it?",
                ),
                _ => None,
            },
        }
    }
}

/// One spray with everything that is known of it. Text that nobody gave is empty.
#[derive(Clone, PartialEq, Debug)]
pub struct RecordView {
    pub spray: Number,
    /// The spray was voided: the record stands, marked.
    pub voided: bool,
    pub room: Code,
    /// Room, ward and hospital by name.
    pub location: String,
    pub started: Time,
    pub finished: Option<Time>,
    pub purpose: Purpose,
    pub product: String,
    pub registration: String,
    /// In the order sprayed. None: not stated.
    pub zones: Option<Vec<Zone>>,
    /// Millilitres of finished mixture.
    pub amount_ml: Option<u32>,
    pub patient_inside: Known,
    /// When it was written down, and by whom; `done_by` is whoever sprayed.
    pub noted: Time,
    pub noted_by: Code,
    pub done_by: Code,
    /// Whoever sprayed, by the list of that day, and whether a certificate of theirs was on it.
    listed_applicator: String,
    listed_certificate: bool,
    pub reentry_words: String,
    pub reentry_minutes: Option<u32>,
    /// The dry check by which the label's condition was met: when, by whom, and its number.
    pub reentry_met: Option<(Time, Code, Number)>,
    /// Zones that were treated by another method after the spray.
    pub otherwise: Vec<(Zone, OtherMethod)>,
    pub text: TreatmentRecord,
}

impl RecordView {
    /// Reads the record of `spray`, an entry with a spray in it; of any other entry there is none.
    ///
    /// `entries` are the room's, in the order of their numbers: what completes, amends or voids the spray is taken from
    /// them; of corrections by two only those that count, by [`super::board::Board::tells_of_spray`]. `met_by` is the dry check on which the room was found dry, as the board has it. `person` and `product` are those of
    /// the spray's day, by [`super::board::Board::person_of_day`] and its like.
    pub fn read<'a>(
        spray: &Entry,
        entries: impl IntoIterator<Item = &'a Entry>,
        met_by: Option<&Entry>,
        facility: &Facility,
        person: Option<&Person>,
        product: Option<&Product>,
    ) -> Option<Self> {
        let Body::Sprayed {
            purpose,
            product: product_code,
            reentry_words,
            reentry_minutes,
            zones,
            finished,
            amount_ml,
            patient_inside,
            record,
            ..
        } = &spray.body
        else {
            return None;
        };
        let room = spray.place.first_room()?;
        let mut view = Self {
            spray: spray.number,
            voided: false,
            room,
            location: location(facility, room),
            started: spray.happened,
            finished: *finished,
            purpose: *purpose,
            product: product.map_or_else(|| product_code.to_string(), |it| it.name.clone()),
            registration: product.and_then(|it| it.registration.clone()).unwrap_or_default(),
            zones: zones.clone(),
            amount_ml: *amount_ml,
            patient_inside: *patient_inside,
            noted: spray.noted,
            noted_by: spray.noted_by,
            done_by: spray.done_by,
            listed_applicator: person.map(|it| it.name.trim().to_owned()).unwrap_or_default(),
            listed_certificate: person.and_then(|it| it.certificate.as_deref()).is_some_and(|it| !it.trim().is_empty()),
            reentry_words: reentry_words.clone().unwrap_or_default(),
            reentry_minutes: *reentry_minutes,
            reentry_met: met_by.map(|check| (check.happened, check.done_by, check.number)),
            otherwise: vec![],
            text: (**record).clone(),
        };
        view.fill_in(person, product);
        let entries: Vec<&Entry> = entries.into_iter().filter(|it| it.number > spray.number).collect();
        let voided: Vec<Number> = entries
            .iter()
            .filter_map(|it| match it.body {
                Body::Voided { entry, .. } => Some(entry),
                _ => None,
            })
            .collect();
        view.voided = voided.contains(&spray.number);
        let mut is_latest = true;
        for entry in entries.into_iter().filter(|it| !voided.contains(&it.number)) {
            is_latest &= !matches!(entry.body, Body::Sprayed { .. });
            // Work with other methods belongs to the spray that it follows.
            if is_latest || !matches!(entry.body, Body::TreatedOtherwise { .. }) {
                view.add(entry);
            }
        }
        Some(view)
    }

    /// What the roster and the hospital's list of products know, where the spray itself does not say.
    fn fill_in(&mut self, person: Option<&Person>, product: Option<&Product>) {
        if let Some(person) = person {
            // A name typed instead of the one on the roster is somebody else's, and so is the certificate.
            let is_theirs = self.text.applicator.trim().is_empty() || self.text.applicator.trim() == person.name;
            if is_theirs {
                self.text.applicator = person.name.clone();
                fill(&mut self.text.certificate, person.certificate.as_deref());
            }
        }
        if let Some(product) = product {
            fill(&mut self.text.active_ingredient, product.active_ingredient.as_deref());
            fill(&mut self.text.percent, product.percent.as_deref());
        }
    }

    fn add(&mut self, entry: &Entry) {
        match &entry.body {
            Body::SprayCompleted {
                spray,
                zones,
                finished,
                reentry_words,
                reentry_minutes,
                amount_ml,
                patient_inside,
                ..
            } if *spray == self.spray => {
                self.amount_ml = self.amount_ml.or(*amount_ml);
                // That somebody was inside is never taken back by an answer.
                self.patient_inside = match (self.patient_inside, *patient_inside) {
                    (Known::Yes, _) | (_, Known::Yes) => Known::Yes,
                    (Known::No, _) | (_, Known::No) => Known::No,
                    (Known::Unknown, Known::Unknown) => Known::Unknown,
                };
                if self.zones.is_none() {
                    self.zones = zones.clone();
                }
                self.finished = self.finished.or(*finished);
                if self.reentry_words.is_empty() {
                    self.reentry_words = reentry_words.clone().unwrap_or_default();
                    self.reentry_minutes = self.reentry_minutes.or(*reentry_minutes);
                }
            }
            // Only one that two people said is among them.
            Body::SprayCorrected { spray, zones, finished, reentry_minutes, .. } if *spray == self.spray => {
                self.zones = zones.clone().or(self.zones.take());
                self.finished = finished.or(self.finished);
                self.reentry_minutes = reentry_minutes.or(self.reentry_minutes);
            }
            Body::Amended { entry: of, field, value } if *of == self.spray => {
                if let Some(text) = self.amendable(field) {
                    value.clone_into(text);
                }
            }
            Body::TreatedOtherwise { zones, method } if entry.place.first_room() == Some(self.room) => {
                self.otherwise.extend(zones.iter().map(|zone| (*zone, *method)));
            }
            _ => {}
        }
    }

    /// The text behind an amendment's field. What a rule reads (zones, times, product) cannot be amended.
    fn amendable(&mut self, field: &str) -> Option<&mut String> {
        let name = FieldName::ALL.iter().find(|it| it.word().eq_ignore_ascii_case(field.trim()))?;
        let text = &mut self.text;
        match name {
            FieldName::Registration => Some(&mut self.registration),
            FieldName::Neighbours => Some(&mut text.neighbours_checked),
            FieldName::ForWhom => Some(&mut text.for_whom),
            FieldName::Applicator => Some(&mut text.applicator),
            FieldName::Certificate => Some(&mut text.certificate),
            FieldName::Supervisor => Some(&mut text.supervisor),
            FieldName::ActiveIngredient => Some(&mut text.active_ingredient),
            FieldName::Percent => Some(&mut text.percent),
            FieldName::Rate => Some(&mut text.rate),
            FieldName::Area => Some(&mut text.area_treated),
            FieldName::TargetPest => Some(&mut text.target_pest),
            FieldName::NoticeUntil => Some(&mut text.notice_until),
            FieldName::Disposal => Some(&mut text.disposal),
            _ => None,
        }
    }

    /// Fields that the rule asks for and nobody gave, in the record's order.
    pub fn missing_fields(&self, rule: RecordRule) -> Vec<FieldName> {
        FieldName::ALL.iter().copied().filter(|it| it.paragraph(rule).is_some() && !self.has(*it)).collect()
    }

    pub fn has(&self, field: FieldName) -> bool {
        let given = |text: &str| !text.trim().is_empty();
        match field {
            FieldName::Location => given(&self.location),
            FieldName::Site => self.zones.as_ref().is_some_and(|zones| !zones.is_empty()),
            FieldName::Date | FieldName::Started | FieldName::Purpose | FieldName::Methods => true,
            FieldName::Finished => self.finished.is_some(),
            FieldName::TargetPest => given(&self.text.target_pest),
            FieldName::ForWhom => given(&self.text.for_whom),
            FieldName::Applicator => given(&self.text.applicator) || given(&self.text.supervisor),
            FieldName::Certificate => given(&self.text.certificate),
            FieldName::Supervisor => given(&self.text.supervisor) || self.certificate_is_the_applicators(),
            FieldName::Product => given(&self.product),
            FieldName::Registration => given(&self.registration),
            FieldName::ActiveIngredient => given(&self.text.active_ingredient),
            FieldName::Percent => given(&self.text.percent),
            FieldName::Rate => given(&self.text.rate),
            FieldName::Amount => self.amount_ml.is_some(),
            FieldName::PatientInside => self.patient_inside != Known::Unknown,
            FieldName::Area => given(&self.text.area_treated),
            FieldName::Climate => self.text.decicelsius.is_some() && self.text.humidity_percent.is_some(),
            FieldName::ReentryWords => given(&self.reentry_words),
            FieldName::ReentryMet => self.reentry_met.is_some(),
            FieldName::Neighbours => given(&self.text.neighbours_checked),
            FieldName::NoticeUntil => given(&self.text.notice_until),
            FieldName::Disposal => given(&self.text.disposal),
            FieldName::FollowUp => given(&self.text.follow_up_due),
            FieldName::Slip => given(&self.text.slip),
        }
    }
}

impl RecordView {
    /// How long after the spraying it was written down. None: at once, or within minutes.
    pub fn late(&self) -> Option<TimeDelta> {
        let late = self.noted - self.finished.unwrap_or(self.started).max(self.started);
        (late > CLOCK_TOLERANCE).then_some(late)
    }

    /// The rules ask for the name that stands on the certificate. A number typed for somebody who had none on the list that day
    /// is somebody else's, until it is said whose; where no number is given, that is what is missing.
    fn certificate_is_the_applicators(&self) -> bool {
        let (typed, certificate) = (self.text.applicator.trim(), self.text.certificate.trim());
        certificate.is_empty() || self.listed_certificate || (!typed.is_empty() && typed != self.listed_applicator)
    }
}

fn fill(text: &mut String, known: Option<&str>) {
    if text.trim().is_empty() {
        *text = known.unwrap_or_default().to_owned();
    }
}

fn location(facility: &Facility, room: Code) -> String {
    let mut parts = vec![format!("room {room}")];
    if let Some(plan) = facility.room(room) {
        if !plan.name.is_empty() && !plan.name.eq_ignore_ascii_case(room.as_str()) {
            parts.push(plan.name.clone());
        }
        parts.extend(facility.wards.get(&plan.ward).map(|ward| ward.name.clone()));
    }
    parts.push(facility.name.clone());
    parts.retain(|part| !part.trim().is_empty());
    parts.join(", ")
}

#[cfg(test)]
mod tests;

//! The hospital's lists of people and products as they were on another day. A record of the past is read by the book of its
//! own day: a certificate that was renewed since, or a product that has another name now, changes no old record.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use chrono::TimeDelta;

use super::{Board, CLOCK_TOLERANCE};
use crate::domain::code::Code;
use crate::domain::entry::{Body, Entry, Number, Time};
use crate::domain::people::{Person, Product};

/// Every state of the two lists, oldest first. Read by records and sentences, by no rule about opening.
#[derive(Clone, Debug, Default)]
pub(crate) struct Book {
    people: BTreeMap<Code, Vec<Page<Person>>>,
    products: BTreeMap<Code, Vec<Page<Product>>>,
    /// Whoever noted or did anything, by initials.
    hands: BTreeSet<Code>,
}

#[derive(Clone, Debug)]
struct Page<T> {
    number: Number,
    noted: Time,
    says: T,
}

impl Book {
    pub(super) fn keep_person(&mut self, entry: &Entry, person: &Person) {
        let page = Page { number: entry.number, noted: entry.noted, says: person.clone() };
        self.people.entry(person.initials).or_default().push(page);
    }

    pub(super) fn keep_product(&mut self, entry: &Entry, product: &Product) {
        let page = Page { number: entry.number, noted: entry.noted, says: product.clone() };
        self.products.entry(product.code).or_default().push(page);
    }
}

/// What the list had for a product from one entry on.
pub(super) struct Listed {
    pub(super) product: Code,
    pub(super) minutes: TimeDelta,
    /// The entry that set it, and the one that set something else in its place.
    pub(super) set: Number,
    pub(super) replaced: Option<Number>,
}

impl Book {
    /// The label's minutes of every product on every day.
    pub(super) fn labels(&self) -> impl Iterator<Item = Listed> + '_ {
        self.products.iter().flat_map(|(code, pages)| {
            let next = pages.iter().skip(1).map(|page| Some(page.number)).chain([None]);
            pages.iter().zip(next).map(|(page, replaced)| {
                let minutes = TimeDelta::minutes(page.says.reentry_minutes.unwrap_or(0).into());
                Listed { product: *code, minutes, set: page.number, replaced }
            })
        })
    }
}

/// A label's minimum, once its words and its minutes were stated: words alone do not say how long.
pub(super) fn label(words: Option<&str>, minutes: Option<u32>) -> Option<TimeDelta> {
    words.and(minutes).map(|minutes| TimeDelta::minutes(minutes.into()))
}

impl Board {
    /// The person as the list had them on the day on which this entry happened.
    pub fn person_of_day(&self, initials: Code, entry: &Entry) -> Option<&Person> {
        self.page_of_day(self.settings.book.people.get(&initials)?, entry)
    }

    /// The product as the list had it on the day on which this entry happened.
    pub fn product_of_day(&self, code: Code, entry: &Entry) -> Option<&Product> {
        self.page_of_day(self.settings.book.products.get(&code)?, entry)
    }

    /// All that the list had of this product since that time, oldest first: of whatever came onto it later, all that it ever had.
    pub fn listed_since(&self, code: Code, since: Time) -> impl Iterator<Item = &Product> {
        let pages = self.settings.book.products.get(&code).map(Vec::as_slice).unwrap_or_default();
        // Within the difference of two clocks nobody knows which came first.
        let since = since.checked_sub_signed(CLOCK_TOLERANCE).unwrap_or(since);
        let first = pages.iter().rposition(|page| page.noted < since).unwrap_or_default();
        pages.iter().skip(first).map(|page| &page.says)
    }

    /// The label's minimum of a spray as it was noted. Words without minutes say none, unless the list meant them so.
    pub(super) fn label_noted(&self, entry: &Entry) -> Option<TimeDelta> {
        let Body::Sprayed { product, reentry_words, reentry_minutes, .. } = &entry.body else { return None };
        let is_so_listed = || {
            self.listed_since(*product, entry.happened)
                .any(|it| it.reentry_words.is_some() && it.reentry_minutes.is_none())
        };
        label(reentry_words.as_deref(), reentry_minutes.or_else(|| is_so_listed().then_some(0)))
    }

    /// Whether anything stands under these initials.
    pub fn has_entries(&self, initials: Code) -> bool {
        self.settings.book.hands.contains(&initials)
    }

    /// The newest state of that day or before it, and of what came onto the list later the oldest one. What was set after the
    /// entry itself was noted says nothing of it.
    fn page_of_day<'a, T>(&self, pages: &'a [Page<T>], entry: &Entry) -> Option<&'a T> {
        let zone = self.facility().time_zone;
        let day = |time: Time| time.with_timezone(&zone).date_naive();
        let before = pages.iter().filter(|page| page.number < entry.number);
        let of_day = before.clone().rfind(|page| day(page.noted) <= day(entry.happened));
        of_day.or_else(|| before.clone().next()).map(|page| &page.says)
    }

    pub(super) fn remember_hands(&mut self, entry: &Entry) {
        for hand in [entry.noted_by, entry.done_by] {
            // A copy of the settings for each entry would be felt.
            if !self.settings.book.hands.contains(&hand) {
                Arc::make_mut(&mut self.settings).book.hands.insert(hand);
            }
        }
    }
}

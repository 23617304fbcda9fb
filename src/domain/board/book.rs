//! The hospital's lists of people and products as they were on another day. A record of the past is read by the book of its
//! own day: a certificate that was renewed since, or a product that has another name now, changes no old record.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use chrono::TimeDelta;

use super::Board;
use crate::domain::code::Code;
use crate::domain::entry::{Entry, Number, Time};
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

impl Book {
    /// The label's minutes of every product on every day, and whether the list has them now.
    pub(super) fn labels(&self) -> impl Iterator<Item = (Code, TimeDelta, bool)> + '_ {
        self.products.iter().flat_map(|(code, pages)| {
            let newest = pages.last().map(|page| page.number);
            let minutes = |page: &Page<Product>| TimeDelta::minutes(page.says.reentry_minutes.unwrap_or(0).into());
            pages.iter().map(move |page| (*code, minutes(page), Some(page.number) == newest))
        })
    }
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

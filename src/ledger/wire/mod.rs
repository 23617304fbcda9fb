//! What a body looks like in the file, apart from what it means: the only place that derives serde.
//!
//! The shapes below are the format. A released shape is never edited; a later version adds a field with a default, or
//! a kind. Every struct and variant names its fields and refuses unknown ones, so that a line from a later version is
//! noticed and closes its place instead of being half read. Codes, zones, times and words are texts, and only the one
//! spelling that this program itself would write is accepted.

mod body;
mod parts;
mod setting;
mod text;

pub(super) use body::{Body, RESERVED_KINDS};
pub(super) use parts::Place;
pub(super) use text::{AsText, Text, read_time, time_text};

/// A shape in the file for a value of the domain. `of` and `back` are exact inverses.
pub(super) trait Wire<T>: Sized {
    fn of(value: &T) -> Self;
    fn back(self) -> T;
}

/// Types that stand in the file as they are.
macro_rules! plain {
    ($($type:ty),+) => {$(
        impl Wire<$type> for $type {
            fn of(value: &$type) -> Self {
                value.clone()
            }
            fn back(self) -> $type {
                self
            }
        }
    )+};
}
plain!(String, u32, i32, i16, i64, bool);

impl<T, W: Wire<T>> Wire<Vec<T>> for Vec<W> {
    fn of(value: &Vec<T>) -> Self {
        value.iter().map(W::of).collect()
    }
    fn back(self) -> Vec<T> {
        self.into_iter().map(W::back).collect()
    }
}

impl<T, W: Wire<T>> Wire<Option<T>> for Option<W> {
    fn of(value: &Option<T>) -> Self {
        value.as_ref().map(W::of)
    }
    fn back(self) -> Option<T> {
        self.map(W::back)
    }
}

impl<T, W: Wire<T>> Wire<Box<T>> for Box<W> {
    fn of(value: &Box<T>) -> Self {
        Box::new(W::of(value))
    }
    fn back(self) -> Box<T> {
        Box::new((*self).back())
    }
}

/// A field that says nothing is left out of a `sparse` shape.
fn is_blank<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}

/// A struct of the file and its two conversions. `sparse`: blank fields are left out. A field that a later version added stands
/// behind the attribute that leaves it out while it says nothing.
macro_rules! wire_struct {
    ($name:ident for $domain:ident { $($(#[$later:meta])? $field:ident: $type:ty,)* }) => {
        #[derive(PartialEq, serde::Serialize, serde::Deserialize)]
        #[serde(deny_unknown_fields)]
        pub(in crate::ledger) struct $name { $($(#[$later])? $field: $type,)* }
        wire_struct!(@conversions $name $domain { $($field)* });
    };
    (sparse $name:ident for $domain:ident { $($field:ident: $type:ty,)* }) => {
        #[derive(serde::Serialize, serde::Deserialize)]
        #[serde(deny_unknown_fields)]
        pub(in crate::ledger) struct $name {
            $(#[serde(default, skip_serializing_if = "crate::ledger::wire::is_blank")] $field: $type,)*
        }
        wire_struct!(@conversions $name $domain { $($field)* });
    };
    (@conversions $name:ident $domain:ident { $($field:ident)* }) => {
        impl crate::ledger::wire::Wire<$domain> for $name {
            fn of(value: &$domain) -> Self {
                let $domain { $($field),* } = value;
                Self { $($field: crate::ledger::wire::Wire::of($field)),* }
            }
            fn back(self) -> $domain {
                let Self { $($field),* } = self;
                $domain { $($field: crate::ledger::wire::Wire::back($field)),* }
            }
        }
    };
}

/// An enum of the file, struct variants throughout, and its two conversions. A field that a later version added stands behind
/// the attribute that leaves it out while it says nothing. `of one` lists the variants that hold one
/// unnamed value in the domain, and the name that it has in the file.
macro_rules! wire_enum {
    ($name:ident for $domain:ident {
        $($variant:ident { $($(#[$later:meta])? $field:ident: $type:ty),* $(,)? })*
    } of one {
        $($holder:ident { $held:ident: $held_type:ty })*
    }) => {
        #[derive(serde::Serialize, serde::Deserialize)]
        #[serde(deny_unknown_fields)]
        pub(in crate::ledger) enum $name {
            $($variant { $($(#[$later])? $field: $type),* },)*
            $($holder { $held: $held_type },)*
        }
        impl crate::ledger::wire::Wire<$domain> for $name {
            fn of(value: &$domain) -> Self {
                match value {
                    $($domain::$variant { $($field),* } => {
                        Self::$variant { $($field: crate::ledger::wire::Wire::of($field)),* }
                    })*
                    $($domain::$holder($held) => Self::$holder { $held: crate::ledger::wire::Wire::of($held) },)*
                }
            }
            fn back(self) -> $domain {
                match self {
                    $(Self::$variant { $($field),* } => {
                        $domain::$variant { $($field: crate::ledger::wire::Wire::back($field)),* }
                    })*
                    $(Self::$holder { $held } => $domain::$holder(crate::ledger::wire::Wire::back($held)),)*
                }
            }
        }
    };
}

use {wire_enum, wire_struct};

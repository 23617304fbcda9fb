//! The hospital's own book: its rooms, people, products and numbers, as lists from which one is chosen to be changed.

use super::ask::Ask;
use super::choice::{ChoiceList, Item, Pick};
use super::world::World;
use crate::domain::policy::ITEMS;
use crate::domain::shown::shown;

/// One part of the book.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Shelf {
    People,
    Products,
    Rooms,
    Wards,
    Zones,
    Policy,
}

impl Shelf {
    const ALL: [Self; 6] = [Self::People, Self::Products, Self::Rooms, Self::Wards, Self::Zones, Self::Policy];

    fn title(self) -> &'static str {
        match self {
            Self::People => "People on the roster",
            Self::Products => "Products and their labels",
            Self::Rooms => "Rooms, their beds and neighbours",
            Self::Wards => "Wards",
            Self::Zones => "Zones of each kind of room",
            Self::Policy => "The hospital's numbers",
        }
    }

    /// The move that sets one of it.
    fn verb(self) -> &'static str {
        match self {
            Self::People => "set-person",
            Self::Products => "set-product",
            Self::Rooms => "set-room",
            Self::Wards => "set-ward",
            Self::Zones => "set-zones",
            Self::Policy => "set-policy",
        }
    }

    /// What a new one is called in the list. None: the program has them all.
    fn new_one(self) -> Option<&'static str> {
        match self {
            Self::People => Some("Add a person"),
            Self::Products => Some("Add a product"),
            Self::Rooms => Some("Add a room"),
            Self::Wards => Some("Add a ward"),
            Self::Zones => Some("Add a kind of room"),
            Self::Policy => None,
        }
    }
}

/// What can be changed.
pub(super) fn shelves(world: &World<'_>) -> ChoiceList {
    let counted = |shelf: Shelf| entries(shelf, world).len().to_string();
    let shelf = |shelf: Shelf| Item::new(shelf.title(), counted(shelf), Pick::Shelf(shelf));
    let name = Ask { verb: "set-hospital", target: String::new(), known: vec![] };
    let mut items: Vec<Item> = Shelf::ALL.into_iter().map(shelf).collect();
    items.push(Item::new("The hospital's name", shown(&world.board.facility().name), Pick::Ask(name)));
    ChoiceList::of("The hospital's own book: what is to be changed?", items)
}

/// What stands on one shelf, and a new one.
pub(super) fn shelf(shelf: Shelf, world: &World<'_>) -> ChoiceList {
    let ask = |target: String| Pick::Ask(Ask { verb: shelf.verb(), target, known: vec![] });
    let mut items: Vec<Item> =
        entries(shelf, world).into_iter().map(|(code, text, remark)| Item::new(&text, remark, ask(code))).collect();
    items.extend(shelf.new_one().map(|text| Item::new(text, String::new(), ask(String::new()))));
    match shelf {
        Shelf::Rooms | Shelf::Wards => ChoiceList::with_codes(shelf.title(), items),
        _ => ChoiceList::of(shelf.title(), items),
    }
}

/// Code, what it is called, and a remark.
fn entries(shelf: Shelf, world: &World<'_>) -> Vec<(String, String, String)> {
    let board = world.board;
    let facility = board.facility();
    let line = |code: &str, name: &str| format!("{code:<8} {}", shown(name));
    match shelf {
        Shelf::People => {
            let people = board.people().values();
            let remark = |left: bool, role: &str| if left { "has left".to_owned() } else { role.to_owned() };
            people
                .map(|it| {
                    (it.initials.to_string(), line(it.initials.as_str(), &it.name), remark(it.left, it.role.title()))
                })
                .collect()
        }
        Shelf::Products => {
            let products = board.products().values();
            let remark = |withdrawn: bool| if withdrawn { "withdrawn".to_owned() } else { String::new() };
            products.map(|it| (it.code.to_string(), line(it.code.as_str(), &it.name), remark(it.withdrawn))).collect()
        }
        Shelf::Rooms => {
            let beds = |count: usize| match count {
                0 => "no beds".to_owned(),
                1 => "1 bed".to_owned(),
                several => format!("{several} beds"),
            };
            let rooms = facility.in_walking_order();
            rooms.map(|it| (it.code.to_string(), line(it.code.as_str(), &it.name), beds(it.beds.len()))).collect()
        }
        Shelf::Wards => {
            let wards = facility.wards.iter();
            wards
                .map(|(code, it)| (code.to_string(), line(code.as_str(), &it.name), format!("floor {}", it.floor)))
                .collect()
        }
        Shelf::Zones => {
            let sets = facility.zone_sets.iter();
            sets.map(|(kind, zones)| (kind.to_string(), kind.to_string(), format!("{} zones", zones.len()))).collect()
        }
        Shelf::Policy => {
            let shown = |setting, item: &crate::domain::policy::PolicyItem| item.show(board.policy().get(setting));
            ITEMS
                .iter()
                .map(|(setting, item)| (item.key.to_owned(), item.meaning.to_owned(), shown(*setting, item)))
                .collect()
        }
    }
}

//! The line of a list that the keys are on. It follows its item when the list changes; if the item is gone it stays where
//! it was.

use super::keys::Act;

#[derive(Clone, Debug)]
pub(super) struct Cursor<K> {
    at: usize,
    key: Option<K>,
    page: usize,
}

impl<K> Default for Cursor<K> {
    fn default() -> Self {
        Self { at: 0, key: None, page: 1 }
    }
}

impl<K: Copy + PartialEq> Cursor<K> {
    /// The list is now this one, of which so many lines are seen at once.
    pub(super) fn settle(&mut self, keys: &[K], page: usize) {
        self.page = page.max(1);
        let same = self.key.and_then(|key| keys.iter().position(|it| *it == key));
        self.go(keys, same.unwrap_or(self.at));
    }

    fn go(&mut self, keys: &[K], to: usize) {
        self.at = to.min(keys.len().saturating_sub(1));
        self.key = keys.get(self.at).copied();
    }

    pub(super) fn walk(&mut self, act: Act, keys: &[K]) {
        let to = match act {
            Act::Up => self.at.saturating_sub(1),
            Act::Down => self.at + 1,
            Act::PageUp => self.at.saturating_sub(self.page),
            Act::PageDown => self.at + self.page,
            Act::First => 0,
            Act::Last => usize::MAX,
            _ => return,
        };
        self.go(keys, to);
    }

    /// Goes to this item, if it is listed.
    pub(super) fn choose(&mut self, keys: &[K], key: K) {
        if let Some(at) = keys.iter().position(|it| *it == key) {
            self.go(keys, at);
        }
    }

    /// To the first line, of whatever is listed next.
    pub(super) fn reset(&mut self) {
        (self.at, self.key) = (0, None);
    }

    /// None: the list is empty.
    pub(super) fn key(&self) -> Option<K> {
        self.key
    }

    pub(super) fn at(&self) -> usize {
        self.at
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_cursor_follows_its_item_and_never_leaves_the_list() {
        let mut cursor = Cursor::default();
        cursor.settle(&[10, 20, 30], 2);
        cursor.walk(Act::Down, &[10, 20, 30]);
        assert_eq!(cursor.key(), Some(20));
        cursor.settle(&[5, 10, 20, 30], 2);
        assert_eq!((cursor.key(), cursor.at()), (Some(20), 2));
        cursor.settle(&[5, 10, 30], 2);
        assert_eq!(cursor.key(), Some(30), "its item is gone");
        cursor.walk(Act::PageDown, &[5, 10, 30]);
        assert_eq!(cursor.key(), Some(30));
        cursor.settle(&[], 2);
        assert_eq!(cursor.key(), None);
        cursor.walk(Act::Last, &[]);
        assert_eq!(cursor.key(), None);
    }
}

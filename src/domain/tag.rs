//! What is no tag of one bag. Two bags under one tag would both be settled by the load of one; so would all those that nobody
//! could name.

use super::code::Code;

/// Words for not knowing, or for none, typed where a tag belongs; without their points and strokes.
const NO_TAGS: [&str; 20] = [
    "unknown", "some", "several", "many", "all", "none", "few", "yes", "no", "any", "unclear", "various", "unstated",
    "na", "nil", "null", "nothing", "notknown", "untagged", "notag",
];

/// Why it is no tag of one bag, to be followed by what to do. None: it may be one.
pub fn no_tag(tag: Code) -> Option<&'static str> {
    let text = tag.as_str();
    let bare: String = text.chars().filter(char::is_ascii_alphanumeric).map(|c| c.to_ascii_lowercase()).collect();
    if bare.is_empty() || NO_TAGS.contains(&bare.as_str()) {
        return Some("is no tag");
    }
    text.contains([';', ' ', '+', ':']).then_some("is more than one tag, or none that can be read off a bag")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_tag_is_one_tag() {
        for tag in ["B1", "3N10-C", "bag_7", "12", "4N/2", "#9", "none1", "NOA", "all-4"] {
            assert_eq!(no_tag(Code::new(tag).unwrap()), None, "{tag}");
        }
        for tag in
            ["none", "N/A", "n.a.", "-", "--", "?", "??", "Unknown?", "unknown", "no", "nil", "not-known", "...", "ALL"]
        {
            assert_eq!(no_tag(Code::new(tag).unwrap()), Some("is no tag"), "{tag}");
        }
        for tag in ["A;B", "A; B", ";", "A B", "A+B", "A;", "B1:B2", "not known"] {
            assert!(no_tag(Code::new(tag).unwrap()).is_some(), "{tag}");
        }
    }
}

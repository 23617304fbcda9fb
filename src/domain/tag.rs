//! What is no tag of one bag. Two bags under one tag would both be settled by the load of one; so would all those that nobody
//! could name.

use super::code::Code;

/// Words for not knowing, or for none, typed where a tag belongs; without their points and strokes.
const NO_TAGS: [&str; 25] = [
    "unknown", "some", "several", "many", "all", "none", "few", "yes", "no", "any", "unclear", "various", "unstated",
    "na", "nil", "null", "nothing", "notknown", "untagged", "notag", "bags", "both", "two", "three", "others",
];

/// Why it is no tag of one bag, to be followed by what to do. None: it may be one.
pub fn no_tag(tag: Code) -> Option<&'static str> {
    let text = tag.as_str();
    let bare: String = text.chars().filter(char::is_ascii_alphanumeric).map(|c| c.to_ascii_lowercase()).collect();
    if bare.is_empty() || NO_TAGS.contains(&bare.as_str()) {
        return Some("is no tag");
    }
    let is_several = text.contains([';', ' ', '+', ':']) || is_count(&bare) || is_two(text);
    is_several.then_some("is more than one tag, or none that can be read off a bag")
}

/// How many bags, in place of their tags.
fn is_count(bare: &str) -> bool {
    let is_number = |rest: &str| !rest.is_empty() && rest.chars().all(|c| c.is_ascii_digit());
    ["x", "bags", "times"].into_iter().filter_map(|word| bare.strip_suffix(word)).any(is_number)
}

/// Two tags of one kind, as in BAG1/BAG2 or BAG1and2.
fn is_two(text: &str) -> bool {
    let kind = |tag: &str| {
        let letters: String = tag.chars().take_while(char::is_ascii_alphabetic).collect();
        let rest = &tag[letters.len()..];
        let is_numbered = !rest.is_empty() && rest.chars().all(|c| c.is_ascii_digit());
        (!letters.is_empty() && is_numbered).then_some(letters.to_ascii_lowercase())
    };
    let parts: Vec<&str> = text.split(['/', '-', '_', '.', '&', ',']).filter(|part| !part.is_empty()).collect();
    let same_kind = |pair: &[&str]| kind(pair[0]).is_some() && kind(pair[0]) == kind(pair[1]);
    let lower = text.to_ascii_lowercase();
    let by_and = lower.split_once("and").is_some_and(|(one, other)| {
        one.ends_with(|c: char| c.is_ascii_digit()) && other.starts_with(|c: char| c.is_ascii_digit())
    });
    by_and || parts.windows(2).any(same_kind)
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
        for tag in ["BAG1/BAG2", "BAG1-BAG2", "B1_B2", "B1.B2", "BAG1and2", "2x", "2bags"] {
            assert!(no_tag(Code::new(tag).unwrap()).is_some(), "{tag}");
        }
        for tag in ["A;B", "A; B", ";", "A B", "A+B", "A;", "B1:B2", "not known"] {
            assert!(no_tag(Code::new(tag).unwrap()).is_some(), "{tag}");
        }
    }
}

//! Did you mean: the nearest of the words that would have been right, and lists of words for a hint.

use crate::limits::LIMITS;

/// The candidate nearest to what was written, if it is near enough: at most a third of its letters off.
pub(crate) fn nearest<'a>(written: &str, candidates: &[&'a str]) -> Option<&'a str> {
    if written.chars().count() > 2 * LIMITS.name {
        return None;
    }
    let folded = fold(written);
    let near = candidates.iter().filter_map(|candidate| {
        let off = distance(&folded, &fold(candidate));
        let longer = folded.chars().count().max(candidate.chars().count());
        (3 * off <= longer).then_some((off, *candidate))
    });
    near.min().map(|(_, candidate)| candidate)
}

/// All candidates, those first that share a word with what was written, and among them the nearest.
pub(crate) fn by_nearness<'a>(written: &str, candidates: &[&'a str]) -> Vec<&'a str> {
    let folded: String = fold(written).chars().take(2 * LIMITS.name).collect();
    let shares =
        |candidate: &str| candidate.contains(&folded) || folded.split('-').any(|word| has_word(candidate, word));
    let mut ordered = candidates.to_vec();
    ordered.sort_by_cached_key(|candidate| {
        let candidate = fold(candidate);
        (!shares(&candidate), distance(&folded, &candidate))
    });
    ordered
}

fn has_word(candidate: &str, word: &str) -> bool {
    !word.is_empty() && candidate.split('-').any(|own| own == word)
}

/// Capitals and underscores are slips of their own kind and cost nothing.
fn fold(text: &str) -> String {
    text.to_lowercase().replace(['_', ' '], "-")
}

/// How many letters must be put in, left out, changed or swapped with their neighbour to get from one text to the other.
///
/// # Source
/// F. J. Damerau, A technique for computer detection and correction of spelling errors, Communications of the ACM 7(3),
/// 1964, in the common form that never touches a swapped pair again.
fn distance(a: &str, b: &str) -> usize {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    let mut before = vec![0; b.len() + 1];
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for i in 1..=a.len() {
        let mut row = vec![i; b.len() + 1];
        for j in 1..=b.len() {
            let change = last[j - 1] + usize::from(a[i - 1] != b[j - 1]);
            row[j] = change.min(last[j] + 1).min(row[j - 1] + 1);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                row[j] = row[j].min(before[j - 2] + 1);
            }
        }
        before = std::mem::replace(&mut last, row);
    }
    last[b.len()]
}

/// What the maker could have typed, as `a`, `b` and `c`; after the twelfth the rest is counted.
pub(crate) fn list(words: &[&str], last: &str) -> String {
    list_up_to(12, words, last)
}

/// The same with more or fewer words.
pub(crate) fn list_up_to(most: usize, words: &[&str], last: &str) -> String {
    let mut quoted: Vec<String> = words.iter().take(most).map(|word| format!("`{}`", quote(word))).collect();
    if words.len() > most {
        quoted.push(format!("{} more", words.len() - most));
    }
    match quoted.split_last() {
        None => "none".to_owned(),
        Some((only, [])) => only.clone(),
        Some((end, rest)) => format!("{} {last} {end}", rest.join(", ")),
    }
}

/// What was written, fit for a message: one line, no control characters, no more than 40 characters.
pub(crate) fn quote(written: &str) -> String {
    const SHOWN: usize = 40;
    let mut text: String = written
        .chars()
        .take(SHOWN)
        .flat_map(|c| if is_plain(c) { vec![c] } else { c.escape_default().collect() })
        .collect();
    if written.chars().nth(SHOWN).is_some() {
        text.push('…');
    }
    text
}

/// Whether a character prints as itself: no control character and none that turns the writing direction.
pub(crate) fn is_plain(c: char) -> bool {
    !(c.is_control()
        || matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}'))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The classic pairs of the literature: kitten/sitting is 3 (Levenshtein's measure), and a swap counts 1 (Damerau).
    #[test]
    fn distances() {
        for (a, b, expected) in
            [("kitten", "sitting", 3), ("lenght", "length", 1), ("", "abc", 3), ("same", "same", 0), ("ca", "abc", 3)]
        {
            assert_eq!(distance(a, b), expected, "{a} {b}");
        }
    }

    #[test]
    fn near_enough_is_a_third() {
        assert_eq!(nearest("lenght", &["width", "length"]), Some("length"));
        assert_eq!(nearest("larch-95", &["larch-145", "larch-120"]), Some("larch-145"));
        assert_eq!(nearest("Ground_Clear", &["ground-clear"]), Some("ground-clear"));
        assert_eq!(nearest("oak", &["ash", "yew"]), None);
        assert_eq!(nearest(&"x".repeat(100_000), &["x"]), None);
    }

    #[test]
    fn the_nearest_comes_first() {
        let known = ["larch", "siberian-larch", "western-red-cedar", "birch-plywood", "us-plywood", "oak"];
        assert_eq!(by_nearness("plywood", &known)[..2], ["us-plywood", "birch-plywood"]);
        assert_eq!(by_nearness("Cedar", &known)[0], "western-red-cedar");
        assert_eq!(by_nearness("birch_ply", &known)[0], "birch-plywood");
        assert_eq!(by_nearness("larhc", &known)[0], "larch");
        assert_eq!(by_nearness("", &known).len(), 6);
        assert_eq!(by_nearness(&"x".repeat(100_000), &known).len(), 6);
    }

    #[test]
    fn lists_and_quotes() {
        assert_eq!(list(&["a"], "or"), "`a`");
        assert_eq!(list(&["a", "b", "c"], "or"), "`a`, `b` or `c`");
        assert_eq!(list(&["x"; 14], "and").matches('`').count(), 24);
        assert!(list(&["x"; 14], "and").ends_with(" and 2 more"));
        assert_eq!(quote("a\u{1b}[2J"), "a\\u{1b}[2J");
        assert_eq!(quote(&"y".repeat(41)).chars().count(), 41);
    }
}

//! Words that the lists of the trade book know, as people write them in a text.

use crate::trade::entry::form::Form;
use crate::trade::entry::tag::Tag;
use crate::trade::entry::wood::Wood;

/// Those of these names that are one word, in lower case.
fn single<'a>(names: impl Iterator<Item = &'a String>) -> impl Iterator<Item = String> {
    let names = names.map(|it| it.to_lowercase());
    names.filter(|it| it.chars().all(char::is_alphabetic))
}

/// Names of woods by one word each: what follows the kind in a name, such as `oak` of `White oak`, what stands in brackets, and
/// every synonym that is one word.
pub(in crate::trade) fn woods(woods: &[Wood]) -> impl Iterator<Item = String> {
    let named = woods.iter().flat_map(|it| {
        let (name, other) = it.label.split_once('(').unwrap_or((&it.label, ""));
        let last = name.split_whitespace().next_back();
        let other = other.trim_end_matches(')');
        { last.into_iter() }.chain((!other.contains(' ')).then_some(other))
    });
    let named: Vec<String> = named.map(str::to_owned).collect();
    let named: Vec<String> = single(named.iter()).filter(|it| !it.is_empty()).collect();
    let synonyms = single(woods.iter().flat_map(|it| &it.synonyms));
    named.into_iter().chain(synonyms)
}

/// Words for faults that are one word.
pub(in crate::trade) fn faults(tags: &[Tag]) -> impl Iterator<Item = String> {
    let tags = tags.iter();
    single(tags.flat_map(|it| std::iter::once(&it.term).chain(&it.synonyms)))
}

/// The words in the names of forms, in lower case, without the short ones between them.
pub(in crate::trade) fn forms(forms: &[Form]) -> impl Iterator<Item = String> {
    let words = forms.iter().flat_map(|it| it.label.split_whitespace());
    let words = words.map(str::to_lowercase);
    words.filter(|it| it.chars().count() > 4 && it.chars().all(char::is_alphabetic))
}

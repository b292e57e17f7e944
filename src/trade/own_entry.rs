//! One entry of the user's: by what it is known, where it stands, and how it is read.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use serde::de::DeserializeOwned;
use toml::Spanned;
use toml::de::DeTable;
use toml::de::DeValue;
use toml::de::ValueDeserializer;

use crate::kit::diagnostic::Span;
use crate::trade::entry::view::Stop;
use crate::trade::trade_book::TradeBook;

/// A view that lies nowhere on the walk round a piece is taken after it.
pub(in crate::trade) fn walk_to_the_end(wide: &mut TradeBook) {
    let walk: BTreeSet<&String> = wide.stops.iter().flat_map(|it| &it.views).collect();
    let views = wide.views.iter().filter(|it| !walk.contains(&it.id));
    let views: Vec<String> = views.map(|it| it.id.clone()).collect();
    if !views.is_empty() {
        let label = "Besides".to_owned();
        wide.stops.push(Stop { label, views });
    }
}

/// Bands of face wood stand from thin to thick, and runs of grits from much to little.
pub(in crate::trade) fn thin_to_thick(wide: &mut TradeBook) {
    wide.face_bands
        .sort_by(|a, b| a.from_mm.total_cmp(&b.from_mm));
    wide.grit_runs
        .sort_by(|a, b| b.takes_mm[1].total_cmp(&a.takes_mm[1]));
}

/// Where an entry stands in the user's text, and its keys.
pub(in crate::trade) struct Place {
    pub(in crate::trade) entry: Span,
    pub(in crate::trade) keys: BTreeMap<String, Span>,
}

/// An entry of the user's, and one that is right: the one it overrides, else the first of its list.
pub(in crate::trade) struct Entry<'a> {
    pub(in crate::trade) span: Span,
    pub(in crate::trade) list: &'static str,
    pub(in crate::trade) id: &'a str,
    pub(in crate::trade) table: &'a DeTable<'a>,
    pub(in crate::trade) sample: &'a DeTable<'a>,
}

/// By what an entry is known: a word, a number, or numbers in a row.
pub(in crate::trade) fn id_of(table: &DeTable<'_>, key: &str) -> Option<String> {
    let of = |value: &DeValue<'_>| match value {
        DeValue::String(text) => Some(text.to_string()),
        DeValue::Integer(number) => Some(number.to_string()),
        DeValue::Float(number) => number.as_str().parse::<f64>().ok().map(|it| it.to_string()),
        _ => None,
    };
    match table.get(key)?.get_ref() {
        DeValue::Array(items) => {
            let items: Option<Vec<String>> = items.iter().map(|it| of(it.get_ref())).collect();
            items.map(|it| it.join("-"))
        }
        one => of(one),
    }
}

pub(in crate::trade) fn read<T: DeserializeOwned>(
    table: DeTable<'_>,
    span: Span,
) -> Result<T, toml::de::Error> {
    let value = Spanned::new(span, DeValue::Table(table));
    T::deserialize(ValueDeserializer::from(value))
}

//! When a fault came, went and came back: the one place where the pictures of a place are put into sentences.

use crate::assess::places::marked_in::MarkedIn;
use crate::assess::places::sight::LiesWhole;
use crate::assess::places::sight::SeenWithout;
use crate::assess::places::told::PlaceTold;
use crate::assess::places::told::SightTold;
use crate::kit::text::joined;

impl PlaceTold {
    /// When it came and came back, and what its pictures do not tell: a name and a sentence each.
    #[must_use]
    pub fn turns(&self) -> Vec<(&'static str, String)> {
        let mut lines = Vec::new();
        if let Some(it) = &self.first_with {
            let line = format!("picture {} of {}", it.photo, it.day.spoken());
            lines.push(("First marked", line));
        }
        lines.extend(self.before());
        let again = self.returned.iter();
        lines.extend(again.map(|it| ("Gone, and there again", it.text())));
        if !self.not_laid_marked.is_empty() {
            let these = self.not_laid_marked.iter().map(MarkedIn::text);
            let these: Vec<String> = these.collect();
            let line = format!("{}; its face is not laid there", joined(&these));
            lines.push(("Marked too", line));
        }
        lines
    }

    /// The last pictures before the first mark: with a word that the part was sound, and without one.
    fn before(&self) -> Vec<(&'static str, String)> {
        let lies = |it: &LiesWhole| {
            format!(
                "picture {} of {}, {:.1} px/mm: all of the place lies in it",
                it.photo(),
                it.day().spoken(),
                it.px_per_mm()
            )
        };
        let without = self.last_without.as_ref().map(SeenWithout::lies);
        let mut lines = Vec::new();
        if let Some(it) = without {
            let line = format!("{}, and the part was said to be sound", lies(it));
            lines.push(("Before that, last without it", line));
        }
        let last = "Before that, last not marked";
        match (&self.last_not_marked, without) {
            (Some(it), of) if of.is_none_or(|of| of.photo() != it.photo()) => {
                lines.push((last, format!("{}, and no more is known", lies(it))));
            }
            (None, None) => {
                let poor = self.poor_before();
                let line = match poor.is_empty() {
                    true => "no picture in which all of the place lies".to_owned(),
                    false => format!("no picture that can show it: {}", poor.join("; ")),
                };
                lines.push((last, line));
            }
            _ => {}
        }
        lines
    }

    /// The pictures before the first mark in which all of the place lies, and why they cannot show it.
    fn poor_before(&self) -> Vec<String> {
        let first = self.first_with.map(|it| it.photo);
        let before = self.pictures.iter();
        let before = before.take_while(|it| Some(it.sight.photo) != first);
        before.filter_map(SightTold::poor).collect()
    }

    /// The pictures in which all of the place lies and which cannot show it, with the reason of each.
    #[must_use]
    pub fn poor(&self) -> Vec<String> {
        self.pictures.iter().filter_map(SightTold::poor).collect()
    }
}

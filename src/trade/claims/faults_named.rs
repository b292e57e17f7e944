//! The faults that a free text names.

use crate::trade::claims::claim::Claims;
use crate::trade::claims::claim_words::Word;

impl Claims {
    /// The faults that a text names and neither denies nor leaves open, each once, in its own words.
    #[must_use]
    pub fn faults_named(&self, text: &str) -> Vec<String> {
        let words = self.words_of(text);
        let not = |it: &Word| self.talk.not.contains(&it.text) || it.text.ends_with("n't");
        let found = |it: &Word| self.talk.found.contains(&it.text);
        let denied = |fault: &Word| {
            let here = words.iter().filter(|it| it.clause == fault.clause);
            let (before, after) = here.partition::<Vec<&Word>, _>(|it| it.end <= fault.start);
            let mut after = after.into_iter().skip_while(|it| !not(it)).take(4);
            before.into_iter().any(not) || after.any(found)
        };
        let mut named: Vec<String> = Vec::new();
        for it in words.iter().filter(|it| !it.doubted && !denied(it)) {
            let is_one = self.is_fault(&it.text)
                && !self.is_any_fault(&it.text)
                && !self.talk.either.contains(&it.text);
            if is_one && !named.contains(&it.text) {
                named.push(it.text.clone());
            }
        }
        named
    }
}

#[cfg(test)]
mod tests {
    use crate::trade::book;

    #[test]
    fn faults_that_a_text_denies_are_not_named() {
        let named = |text: &str| book().claims.faults_named(text);
        let note = "crack in the cornice, glued before my time; worm in the plinth, no dents";
        assert_eq!(named(note), ["crack", "worm"]);
        assert_eq!(named("a damaged place, light from the left"), [""; 0]);
        assert_eq!(named("a split?"), [""; 0]);
        assert_eq!(
            named("back boards all there and tight; a reduced copy"),
            [""; 0]
        );
        assert_eq!(
            named("blisters and dents can't be ruled out from this"),
            [""; 0]
        );
        assert_eq!(named("cracks were not found, a dent not mended"), ["dent"]);
    }
}

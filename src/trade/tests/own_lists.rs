//! Whatever list a user extends, the trade book reads it.

use crate::trade::overlay::widened;

/// What is wrong, with the line on which it is told.
fn wrong(text: &str) -> Vec<String> {
    let wrongs = widened(text).map(drop).unwrap_err();
    let said = wrongs.iter().map(|it| {
        let line = text[..it.place.start].matches('\n').count() + 1;
        format!("{line}: {}", it.message)
    });
    said.collect()
}

const BARN_FIND: &str = r#"[[claim]]
id = "barn_find"
words = ["barn find", "attic find"]
rests_on = "nothing"
needs = "nobody saw where it was found"
write = "say who said so"
why = "it is a story"
caught = ["A barn find!"]
passes = ["found in a barn, said the seller"]
"#;

#[test]
fn claims_are_looked_for_and_a_sentence_that_shows_otherwise_is_told() {
    let text = format!(
        "{BARN_FIND}[[claim]]\nid = \"rare\"\nstrict = true\n[[wood]]\nid = \"zebrano\"\nlabel = \"Zebrano\"\nshrinkage = [3.0, 6.0]\nsource = \"own\"\n"
    );
    let wide = widened(&text).unwrap_or_else(|it| panic!("{it:?}"));
    let ids = |text: &str| -> Vec<String> {
        let found = wide.claims.in_text(text);
        found.iter().map(|it| it.claim.id.clone()).collect()
    };
    assert_eq!(ids("an attic find, solid zebrano"), ["barn_find", "solid"]);
    let rare = wide.claims.all.iter().find(|it| it.id == "rare");
    assert!(rare.is_some_and(|it| it.strict && !it.words.is_empty()));
    let slip = BARN_FIND.replace("A barn find!", "Found in a barn");
    assert_eq!(
        wrong(&slip),
        ["8: `Found in a barn` is not caught by its words"]
    );
    let slip = BARN_FIND.replace("\"nothing\"", "\"years\"");
    assert_eq!(wrong(&slip), ["4: what it rests on needs `years`"]);
}

#[test]
fn bands_of_face_wood_and_runs_of_grits_are_taken_by_where_they_begin() {
    let text = "[[face_band]]\nfrom_mm = 0.9\nbelow_mm = 1.2\n[[face_band]]\nfrom_mm = 1.2\nbelow_mm = 1.5\nreserve_mm = 0.6\nbears = \"Scrape it.\"\nnever = []\n[[grit_run]]\ngrits = [180, 220]\nfrom_mm = 0.7\n[[grit_run]]\ngrits = [240]\nfrom_mm = 0.4\ntakes_mm = [0.01, 0.03]\n";
    let wide = widened(text).unwrap_or_else(|it| panic!("{it:?}"));
    let bands: Vec<f64> = wide.face_bands.iter().map(|it| it.from_mm).collect();
    assert_eq!(bands, [0.0, 0.5, 0.9, 1.2, 1.5]);
    assert_eq!(wide.face_bands[3].reserve_mm, 0.6);
    let runs: Vec<String> = wide.grit_runs.iter().map(|it| it.id()).collect();
    assert_eq!(
        runs,
        ["120-150-180", "150-180-220", "180-220", "220", "240"]
    );
    assert_eq!(wide.grit_runs[2].from_mm, 0.7);
    let gap = "[[face_band]]\nfrom_mm = 0.5\nbelow_mm = 0.8\n";
    assert!(
        wrong(gap)
            .iter()
            .all(|it| it.contains("the bands of face wood leave a gap")),
        "{:?}",
        wrong(gap)
    );
    let coarse = "\n[[grit_run]]\ngrits = [220, 150]\nfrom_mm = 0.5\ntakes_mm = [0.01, 0.02]\n";
    assert_eq!(
        wrong(coarse),
        ["5: the grits of a run must go from coarse to fine"]
    );
}

#[test]
fn rules_of_thumb_laws_on_lead_and_headings_are_taken() {
    let text = "[[thumb]]\nid = \"stools\"\nlabel = \"a stool\"\nleaves = [\"old_coat\"]\nforms = [\"stool\"]\nshare = [25.0, 30.0]\n[[lead_law]]\ncountry = \"NZ\"\nbefore = 1980\nsource = \"own\"\n[[cue_group]]\nid = \"labels\"\nlabel = \"Labels\"\n";
    let wide = widened(text).unwrap_or_else(|it| panic!("{it:?}"));
    assert_eq!(wide.offer.thumbs.last().unwrap().share, [25.0, 30.0]);
    assert_eq!(wide.lead_law("NZ").unwrap().before, 1980);
    assert_eq!(wide.cue_groups.last().unwrap().label, "Labels");
    assert_eq!(
        wrong("[[thumb]]\nid = \"kept\"\nforms = [\"stol\"]\n"),
        ["3: `stol` is not a form of the trade book"]
    );
}

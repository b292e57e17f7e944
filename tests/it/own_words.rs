//! The user's own words, hours, prices and terms, through the program.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on may stop")]

use std::fs;

use serde_json::Value;

use crate::shop::Ran;
use crate::shop::Shop;

/// A fault of the user's own, with an apostrophe and umlauts, and a method for it.
const OWN: &str = r#"
[[tag]]
id = "lamp_burn"
group = "finish"
term = "Lamp's heat mark"
plain = "A dull, rough patch (Hitzefleck, größer als ein Ring) where a lamp's foot stood."
recognise = "Round, dull and rough, without char."
synonyms = ["lamp's mark", "hitzefleck"]
measure_what = "diameter"
measure_unit = "mm"
measure_how = "rule"
levels = ["seen in low light only", "under 30 mm across", "30 to 80 mm across", "over 80 mm across, or the wood is brown"]
affects = ["appearance"]
disclose_from = 1
ease = "easy"
views = ["top_flat"]
fix = ["lamp_draw"]

[[method]]
id = "lamp_draw"
name = "Draw the lamp's mark"
plain = "The mark was drawn out with camphor and spirit."
phase = "coat"
unit = "place"
hours = [0.2, 0.5, 1]
wait_hours = [0, 4, 12]
cost = [0.5, 1, 2]
cures = "cures"
by = "owner"
cautions = ["Kein offenes Feuer: the spirit burns."]

[[view]]
id = "top_flat"
label = "Top, from the trestle"
"#;

const MARK: &str = "[[mark]]\ntag = \"lamp_burn\"\npart = \"top\"\nlevel = 3\nbox = [1, 1, 9, 9]\n";

fn with_words(text: &str) -> Shop {
    let shop = Shop::with_piece();
    fs::write(shop.path("book/words.toml"), text).unwrap();
    shop
}

fn schema(shop: &Shop) -> Value {
    let text = fs::read_to_string(shop.path("book/sidecar.schema.json")).unwrap();
    serde_json::from_str(&text).unwrap()
}

fn tags(schema: &Value) -> Vec<&str> {
    let tags = &schema["properties"]["mark"]["items"]["properties"]["tag"]["enum"];
    let tags = tags.as_array().unwrap().iter();
    tags.map(|it| it.as_str().unwrap()).collect()
}

#[test]
fn a_fault_of_the_users_own_is_recorded_repaired_and_printed() {
    let shop = with_words(OWN);
    shop.ready(MARK);
    let answer = shop.run(&["survey", "26-001", "--json"]).json();
    assert_eq!(answer["complaints"], serde_json::json!([]));
    let finding = &answer["findings"][0];
    assert_eq!(
        (&finding["id"], &finding["term"]),
        (&"F1".into(), &"Lamp's heat mark".into())
    );
    shop.run(&["repair", "26-001", "F1", "--method", "lamp_draw"])
        .code(0)
        .says("Draw the lamp's mark")
        .says("Kein offenes Feuer");
    let made = shop.run(&["report", "26-001", "--draft", "--json"]).json();
    let page = fs::read_to_string(made["path"].as_str().unwrap()).unwrap();
    let page = page.replace("&#x27;", "'").replace("&#39;", "'");
    for text in [
        "Lamp's heat mark",
        "Hitzefleck, größer als ein Ring",
        "30 to 80 mm across",
        "Draw the lamp's mark",
    ] {
        assert!(page.contains(text), "`{text}` is not in the report");
    }
    // What such work is in general is no statement of what was done here.
    let general = "The mark was drawn out with camphor and spirit.";
    assert!(!page.contains(general));
    shop.run(&["words", "methods", "lamp"])
        .code(0)
        .says(general);
    // Sidecars and words answer with it too.
    let words = shop
        .run(&["words", "faults", "hitzefleck", "--json"])
        .json();
    let levels = words[0]["more"].as_array().unwrap();
    assert_eq!((&words[0]["id"], levels.len()), (&"lamp_burn".into(), 4));
    shop.run(&["words", "views", "trestle"])
        .code(0)
        .says("top_flat");
    assert!(tags(&schema(&shop)).contains(&"lamp_burn"));
}

#[test]
fn outside_a_book_the_words_are_the_programs_own() {
    let shop = with_words(OWN);
    shop.run_in(shop.path("card"), &["words", "faults", "hitzefleck"])
        .code(0)
        .stdout("")
        .stderr("no such word; leave the text away to see all\n");
    let book = shop.path("book");
    let book = book.to_str().unwrap();
    shop.run_in(
        shop.path("card"),
        &["--book", book, "words", "methods", "lamp"],
    )
    .code(0)
    .says("lamp_draw");
    shop.run_in(
        shop.path("card"),
        &["--book", "nowhere", "words", "methods"],
    )
    .code(2)
    .stderr(
        "could not: there is no stock book in `nowhere` or any folder above it\n  go to your book's folder, name it with --book, or start \
         one with `asfound new-book DIR`\n",
    );
}

#[test]
fn paths_woods_and_channels_are_listed() {
    let shop = Shop::with_piece();
    shop.run(&["words", "paths", "stain"])
        .code(0)
        .stdout("strip_stain  Strip, stain, new clear coat\n    The old finish was taken off, the wood was stained, and it got a new clear coat.\n");
    // Wood Handbook, FPL-GTR-190, table 13-5: 0.00190 radial, 0.00274 tangential.
    shop.run(&["words", "woods", "black walnut"])
        .code(0)
        .stdout(
            "black_walnut  Black walnut\n    For 1 % of moisture its width changes by 0.19 % (quarter-sawn) to 0.27 % (flat-sawn). Its colour \
             comes through paint.\n    also: walnut\n    source: GTR-190 table 4-3; movement table 13-5\n",
        );
    shop.run(&["words", "channels", "auction"])
        .code(0)
        .stdout("auction  Auction, as seller\n    Keeps 6 to 35 % of the price, likely 15 %.\n");
}

/// What a command says of the user's words, as `line:column message | help`.
fn told(ran: &Ran) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for line in ran.err().lines() {
        let line = anstream::adapter::strip_str(line).to_string();
        if let Some(message) = line.strip_prefix("error: ") {
            lines.push(message.to_owned());
        } else if let (Some((_, place)), Some(last)) =
            (line.split_once("--> words.toml:"), lines.last_mut())
        {
            *last = format!("{place} {last}");
        } else if let (Some(help), Some(last)) = (line.strip_prefix("help: "), lines.last_mut()) {
            last.push_str(&format!(" | {help}"));
        }
    }
    lines
}

#[test]
fn every_kind_of_mistake_is_told_with_its_place() {
    let whole = |change: (&str, &str)| {
        assert!(OWN.contains(change.0), "{change:?}");
        OWN.replacen(change.0, change.1, 1)
    };
    for (text, expected) in [
        (
            whole(("[[tag]]", "[[tags]]")),
            "2:3 `tags` is not a list of the trade book | did you mean `[[tag]]`?",
        ),
        (
            whole(("[[tag]]", "[tag]")),
            "2:2 `tag` must be a list of entries | write `[[tag]]`, with two brackets on each side",
        ),
        (
            whole(("term = \"L", "trem = \"L")),
            "5:1 `trem` is not a key here | did you mean `term`?",
        ),
        (
            whole(("plain = \"A dull", "# plain = \"A dull")),
            "2:1 `lamp_burn` is new, so it must be whole | add `plain`, or mend the id if another is meant",
        ),
        (
            whole(("\"under 30 mm across\", ", "")),
            "12:10 `levels` must be a list of 4, not of 3",
        ),
        (
            whole(("\"under 30 mm across\"", "30")),
            "12:37 `levels` must be text in quotes, not `30`",
        ),
        (
            whole((
                "fix = [\"lamp_draw\"]",
                "fix = [\"white_mark\", \"lamp_darw\"]",
            )),
            "17:23 `lamp_darw` is not a method of the trade book | did you mean `lamp_draw`?",
        ),
        (
            whole(("id = \"lamp_burn\"", "id = \"fin_soaks\"")),
            "3:7 `fin_soaks` is both a fault and an observation; a mark could mean either | choose another id",
        ),
        (
            whole(("\"hitzefleck\"", "\"white ring\"")),
            "8:29 `white ring` already means `white_mark`",
        ),
        (
            whole(("disclose_from = 1", "disclose_from = \"1\"")),
            "14:17 `disclose_from` must be a whole number of 0 or more, not text",
        ),
        (
            whole(("hours = [0.2, 0.5, 1]", "hours = [2, 0.5, 1]")),
            "25:9 `hours` must be three numbers of 0 or more: low, likely, high",
        ),
        (
            whole(("ease = \"easy\"", "ease = \"leicht\"")),
            "15:8 `leicht` is not known in `ease` | the words are `easy`, `moderate`, `hard`, `specialist`, `stop`",
        ),
        (
            whole(("group = \"finish\"", "group = finish")),
            "4:9 a text must stand in quotes | write `\"finish\"`",
        ),
    ] {
        let shop = with_words(&text);
        let ran = shop
            .run(&["survey", "26-001"])
            .code(2)
            .stdout("")
            .says("`words.toml` cannot be used until it is put right");
        assert_eq!(told(&ran), [expected], "{text}");
    }
}

fn not_utf8(file: &str, column: usize) -> String {
    format!(
        "could not: `{file}` cannot be used until it is put right\nerror: the text is not UTF-8 from here on\n --> {file}:1:{column}\n"
    )
}

#[test]
fn a_text_that_is_not_utf8_is_told() {
    let shop = Shop::with_piece();
    fs::write(shop.path("book/words.toml"), b"# gr\xf6\xdfer\n").unwrap();
    shop.run(&["survey", "26-001"])
        .code(2)
        .stderr(&not_utf8("words.toml", 5));
    fs::remove_file(shop.path("book/words.toml")).unwrap();
    fs::write(
        shop.path("book/book.toml"),
        b"trading_name = \"M\xfcller\"\n",
    )
    .unwrap();
    shop.run(&["survey", "26-001"])
        .code(2)
        .stderr(&not_utf8("book.toml", 18));
}

/// A slip in the words refuses answers, but takes photos in, and takes no sidecar for wrong that is right.
#[test]
fn while_the_words_have_a_mistake_nothing_is_lost() {
    let shop = with_words(OWN);
    shop.ready(MARK);
    let sound = schema(&shop);
    fs::write(
        shop.path("book/words.toml"),
        OWN.replace("ease =", "esae ="),
    )
    .unwrap();
    for words in [
        &["survey", "26-001"][..],
        &["report", "26-001"],
        &["words", "faults"],
        &["repair", "26-001", "F1", "--method", "lamp_draw"],
    ] {
        shop.run(words).code(2).says("words.toml:15:1");
    }
    shop.run(&["intake", "oak box", "--form", "trunk_chest"])
        .code(2)
        .says("words.toml:15:1");
    shop.photo("IMG_3.jpg", |_| ());
    let answer = shop.import_json().code(1).json();
    assert_eq!(answer["taken"], 1);
    assert!(
        answer["warnings"]
            .to_string()
            .contains("words.toml:15:1: `esae` is not a key here"),
        "{answer}"
    );
    // The editor's help stays as it was, and so does the finding.
    assert_eq!(schema(&shop), sound);
    fs::write(shop.path("book/words.toml"), OWN).unwrap();
    let answer = shop.run(&["survey", "26-001", "--json"]).json();
    assert_eq!(answer["complaints"], serde_json::json!([]));
    assert_eq!(answer["findings"][0]["tag"], "lamp_burn");
    assert_eq!(answer["findings"].as_array().unwrap().len(), 1);
}

#[test]
fn a_word_that_comes_later_mends_the_sidecar_that_waited_for_it() {
    let shop = Shop::with_piece();
    shop.ready(MARK);
    let answer = shop.run(&["survey", "26-001", "--json"]).code(1).json();
    assert_eq!(
        answer["complaints"][0]["message"],
        "`lamp_burn` is not a tag"
    );
    assert!(!tags(&schema(&shop)).contains(&"lamp_burn"));
    fs::write(shop.path("book/words.toml"), OWN).unwrap();
    let answer = shop.run(&["survey", "26-001", "--json"]).json();
    assert_eq!(answer["complaints"], serde_json::json!([]));
    assert_eq!(answer["findings"][0]["level"], 3);
    assert!(tags(&schema(&shop)).contains(&"lamp_burn"));
}

/// The method of the user's own, in the plan of the piece: minutes low, likely, high, and the likely cost in cents.
fn planned(shop: &Shop) -> (Vec<u64>, u64) {
    let plan = shop.run(&["estimate", "26-001", "--json"]).json();
    let mut tasks = plan["tasks"].as_array().unwrap().iter();
    let task = tasks.find(|it| it["method"] == "lamp_draw").unwrap();
    let minutes = ["low", "likely", "high"].map(|it| task["minutes"][it].as_u64().unwrap());
    (minutes.to_vec(), task["cost"]["likely"].as_u64().unwrap())
}

#[test]
fn own_hours_prices_and_terms_are_read_and_their_mistakes_told() {
    let shop = with_words(OWN);
    shop.ready(MARK);
    assert_eq!(planned(&shop), (vec![12, 30, 60], 100));
    let own = "[hours]\nlamp_draw = [1, 2, 3]\n[prices]\nlamp_draw = \"7.50\"\n[terms]\nfee = \"12.5 %\"\nhours_a_day = 3.5\n[season]\ntemperature = \"70 F\"\n";
    fs::write(shop.path("book/book.toml"), own).unwrap();
    assert_eq!(planned(&shop), (vec![60, 120, 180], 750));
    let wrong = own
        .replacen("lamp_draw", "lamp_darw", 1)
        .replace("fee", "channel");
    fs::write(shop.path("book/book.toml"), wrong).unwrap();
    let ran = shop.run(&["survey", "26-001"]).code(2);
    ran.says("book.toml:2:1")
        .says("did you mean `lamp_draw`?")
        .says("`12.5 %` is not a channel of the trade book")
        .says("the channels are `own_sale`");
}

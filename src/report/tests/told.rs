//! Nothing is printed or drawn that nobody told.

use crate::assess::assessment::Assessment;
use crate::assess::findings::finding::FindingState;
use crate::assess::part_report::PartState;
use crate::assess::statements::statement::made;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words as _;
use crate::assess::tests::build::mark;
use crate::model::photo::Stage;
use crate::model::repair::Repair;
use crate::report::CoverRequest;
use crate::report::DrawingInput;
use crate::report::Reader;
use crate::report::fixture;
use crate::report::tests::dossier::cover_by;
use crate::report::tests::dossier::order;
use crate::report::tests::made;
use crate::trade;

/// A method is a heading; what one usually does by it is no statement about this piece.
#[test]
fn of_a_repair_only_what_was_told_is_printed() {
    let (mut a, mut scene) = (fixture::assessment(), fixture::scene());
    let sample = a.repairs[0].clone();
    let methods = &trade::book().methods;
    let numbered = methods.iter().zip(1..);
    a.repairs = numbered
        .map(|(method, no)| Repair {
            no,
            method: method.id.clone(),
            note: Some(format!("told {no} of it")),
            new_material: None,
            hides: None,
            ..sample.clone()
        })
        .collect();
    scene.methods = methods
        .iter()
        .map(|it| (it.id.clone(), it.name.clone()))
        .collect();
    let html = made(&a, &scene, &fixture::order(Reader::Owner));
    for (method, no) in methods.iter().zip(1..) {
        assert!(html.contains(&format!("Told {no} of it.")), "{}", method.id);
        let said = [&method.plain]
            .into_iter()
            .chain(&method.adds)
            .chain(&method.steps);
        for text in said.filter(|it| it.chars().count() > 12) {
            assert!(!html.contains(text.as_str()), "{}: {text}", method.id);
        }
    }
    a.repairs.truncate(1);
    a.repairs[0].note = None;
    let html = made(&a, &scene, &fixture::order(Reader::Buyer));
    assert!(html.contains("was not told.</p>") && !html.contains("What was done<"));
}

/// The drawing as the page has it, wide and narrow.
fn drawing(assessment: &Assessment, scene: &DrawingInput) -> String {
    let html = made(assessment, scene, &fixture::order(Reader::Buyer));
    let part = html.split("id=\"drawn\"").nth(1).unwrap();
    part.split("</section>").next().unwrap().to_owned()
}

#[test]
fn the_drawing_shows_fittings_that_were_seen_and_nothing_else() {
    let (mut a, scene) = (fixture::assessment(), fixture::scene());
    let pulls = |a: &Assessment| drawing(a, &scene).matches("class=\"dot\"").count();
    assert_eq!(pulls(&a), 0, "no pull is spoken of");
    let shapes = drawing(&a, &scene).matches("class=\"line\"").count();
    let mut seen = a.parts[0].clone();
    let sound = PartState::Sound(made::sound(18, "2026-05-02".parse().unwrap()));
    for (part, state) in [
        ("drawer-3/pull-left", sound.clone()),
        ("drawer-3/pull-right", PartState::Absent(made::missed(None))),
        ("drawer-4/pull", PartState::Silent),
        ("drawer-3/lock", sound),
    ] {
        seen.part = part.parse().unwrap();
        seen.state = state;
        a.parts.push(seen.clone());
    }
    assert_eq!(pulls(&a), 2, "one pull on two plans");
    let with_lock = drawing(&a, &scene);
    assert_eq!(with_lock.matches("class=\"line\"").count(), shapes + 2);
    assert!(with_lock.contains("no likeness"));
    let mut gone = a.findings[0].clone();
    gone.part = "drawer-3/pull-left".parse().unwrap();
    "pull_missing".clone_into(&mut gone.tag);
    gone.state = FindingState::Open;
    a.findings.push(gone);
    assert_eq!(pulls(&a), 0, "a pull that is missing was not seen");
    a.findings.pop();
    let leg = a
        .parts
        .iter_mut()
        .find(|it| it.part.as_str() == "leg-front-left");
    leg.unwrap().state = PartState::Absent(made::missed(None));
    let edges = |html: &str| html.matches("class=\"edge\"").count();
    assert!(edges(&drawing(&a, &scene)) < edges(&with_lock));
}

/// A repair of a kind that commonly adds material is told beside the count of those that name theirs.
#[test]
fn the_count_of_new_material_tells_of_the_repairs_that_are_silent() {
    let (mut a, scene) = (fixture::assessment(), fixture::scene());
    let sample = a.repairs[0].clone();
    let repair = |no, method: &str, new: Option<&str>| Repair {
        no,
        method: method.to_owned(),
        new_material: new.map(str::to_owned),
        ..sample.clone()
    };
    a.repairs = vec![
        repair(1, "scarf", Some("beech")),
        repair(2, "scarf", None),
        repair(3, "clean", None),
    ];
    let html = made(&a, &scene, &fixture::order(Reader::Buyer));
    assert!(html.contains("main parts, in 1 repair."), "{html}");
    assert!(
        html.contains("Of repair <a href=\"#repair-2\">2</a> no new material was told, though work of that kind commonly adds some.")
    );
}

/// What is new, and where, stands on the first page, whole where it is short.
#[test]
fn what_was_replaced_is_named_at_a_glance() {
    let mut record = fixture::assessment();
    record.repairs.truncate(4);
    record.repairs[2].new_material = Some("Hide glue in the split.".to_owned());
    record.repairs[3].new_material = Some("hide glue in the crack".to_owned());
    let besides: Vec<String> = { record.repairs[2..].iter() }
        .map(|it| it.no.to_string())
        .collect();
    record.repairs[0].method = "hardware_match".to_owned();
    record.repairs[0].new_material = Some("One brass pull, cast from the left one".to_owned());
    record.repairs[1].method = "replace_panel".to_owned();
    record.repairs[1].new_material = None;
    let html = made(&record, &fixture::scene(), &fixture::order(Reader::Buyer));
    let glance = html.split("New, hidden, or mended before").nth(1).unwrap();
    let glance = glance.split("<h3").next().unwrap();
    assert!(
        glance.contains(": one brass pull, cast from the left one (repair"),
        "{glance}"
    );
    let both = glance.split(": hide glue (repairs ").nth(1).unwrap();
    let both = both.split(')').next().unwrap();
    for no in besides {
        assert!(both.contains(&format!(">{no}<")), "{both}");
    }
    assert!(glance.contains("the new material was not told"), "{glance}");
    // Of a long text there is the beginning, and that there is more.
    record.repairs[0].new_material = Some(format!("One brass pull, {}", "cast anew ".repeat(9)));
    let html = made(&record, &fixture::scene(), &fixture::order(Reader::Buyer));
    assert!(html.contains(": one brass pull and more (repair"));
}

/// A fault that was marked only since the claim, in a picture from before, was not told of when its pictures came in.
#[test]
fn what_was_marked_only_since_the_claim_the_record_did_not_tell_before() {
    let marked = |marks| {
        let sale = Build::chest().shoot(Stage::Sale, "2026-07-01");
        let sale = sale.photo("left_whole", &["side-left"], marks);
        let came = sale.shoot(Stage::Delivery, "2026-07-14");
        came.photo("delivery", &["side-left"], Vec::new()).assess()
    };
    let order = CoverRequest {
        before_claim: Some(marked(Vec::new())),
        ..order("hidden_fault")
    };
    let page = cover_by(&marked(vec![mark("split_through", "side-left")]), &order);
    let told =
        "Before the pictures of the claim came into the book, the record said nothing of it.";
    assert!(page.contains(told), "{page}");
}

/// Of work of the day of a look, which came first is not known where the fault is there.
#[test]
fn work_of_the_day_of_a_look_is_said_to_be_before_it_only_where_the_look_shows_it() {
    for (said, is_after) in [("present", false), ("repaired", true)] {
        let scratch = || mark("scratch_finish", "side-left");
        let shoots = [
            (Stage::Purchase, "2026-06-01", scratch()),
            (Stage::Sale, "2026-07-01", scratch().says(said)),
            (Stage::Delivery, "2026-07-14", scratch()),
        ];
        let mut build = Build::chest();
        for (stage, day, said) in shoots {
            let shoot = build.shoot(stage, day);
            build = shoot.photo("left_whole", &["side-left"], vec![said]);
        }
        let it = build.repair("2026-07-01", &[1]).assess();
        let page = cover_by(&it, &order("transit_break"));
        let (_, line) = page.split_once("Last seen before it left: ").unwrap();
        let (line, _) = line.split_once(" Since: ").unwrap();
        assert_eq!(line.contains("after repair 1"), is_after, "{line}");
    }
}

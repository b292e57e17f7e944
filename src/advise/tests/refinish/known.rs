//! What is known of a part, and what is not.

use crate::advise::part::truth::Truth;
use crate::advise::tests::words::chest;
use crate::advise::tests::words::facts;
use crate::assess::tests::build::Build;
use crate::assess::tests::build::Words;
use crate::assess::tests::build::mark;
use crate::model::photo::Stage;
use crate::trade::entry::condition::Condition;

use Truth::No;
use Truth::Open;
use Truth::Yes;

fn asked(build: &Build, part: &str, question: &str) -> Truth {
    let atom: Condition = question.parse().unwrap();
    facts(&build.assess(), part).answer(&atom)
}

#[test]
fn questions_have_three_answers() {
    for (words, question, answer) in [
        ("layer_line", "material = veneer", Yes),
        ("layer_line", "material != veneer", No),
        ("layer_line", "material = unknown", No),
        ("", "material = veneer", Open),
        ("", "material = unknown", Yes),
        ("", "material = composition", No),
        ("chips_seen uniform_brown", "material = solid", No),
        ("layer_line=0.6_mm", "face_mm < 0.7", Yes),
        ("layer_line=0.6_mm", "face_mm >= 0.7", No),
        ("layer_line", "face_mm < 0.5", Open),
        ("layer_line marks_veneer_saw", "face_mm < 0.5", Yes),
        ("layer_line=0.6_mm marks_veneer_saw", "face_mm < 0.5", Yes),
        ("veneer_thick", "face_mm >= 0.9", Yes),
        ("veneer_thin", "face_mm < 0.9", Open),
        ("veneer_thin", "face_mm <= 0.9", Yes),
        ("layer_line=300_mm", "face_mm < 0.5", Open),
        ("end_grain_runs figure_both_sides", "face_mm < 0.5", No),
        ("end_grain_runs figure_both_sides", "face_mm >= 0.5", No),
        ("fin_alcohol", "finish = shellac", Yes),
        ("fin_thinner", "finish = lacquer", Yes),
        ("fin_neither", "finish = varnish", Yes),
        ("fin_soaks", "finish = oilwax", Yes),
        ("fin_alcohol fin_neither", "finish = unknown", Yes),
        ("fin_alcohol fin_neither", "finish = shellac", Open),
        ("overpaint:1", "finish = paint", Yes),
        ("overpaint", "fault.overpaint = 4", Yes),
        ("layer_line", "finish = paint", No),
        ("", "finish = paint", Open),
        ("", "finish = unknown", Yes),
        ("fin_alcohol", "finish = unknown", No),
        ("patina_kept", "first_finish = yes", Yes),
        ("patina_kept refin_stain_pores", "first_finish = yes", No),
        ("overpaint:1", "first_finish = yes", No),
        ("", "first_finish = yes", Open),
        ("drawer-1!dovetail_machine", "made < 1850", No),
        ("drawer-1!dovetail_machine", "made >= 1850", Yes),
        ("drawer-1!dovetail_machine", "made < 1950", Open),
        ("drawer-1!pin_and_cove", "made < 1950", Yes),
        ("", "made < 1850", Open),
        ("", "worth = fine", Open),
        ("", "worth = good", Open),
        ("worth=good", "worth = fine", No),
        ("drawer-1!dovetail_machine", "worth = fine", No),
        ("drawer-1!dovetail_machine", "worth = good", Open),
        ("worth=fine drawer-1!dovetail_machine", "worth = fine", Yes),
        ("", "place = show", Yes),
        ("", "wish = lighter", No),
        ("", "meant_for = child", Open),
        ("", "fittings = original", No),
        ("crazing:2 flaking:3", "worst_finish <= 2", No),
        ("crazing:2", "worst_finish <= 2", Yes),
        ("crazing", "worst_finish <= 2", No),
        ("", "fault.crazing <= 0", Yes),
        ("sag:3", "group.structure >= 3", Yes),
        ("", "group.structure >= 3", No),
        ("refin_smell", "cue.refin_smell", Yes),
        ("", "not cue.refin_smell", Yes),
    ] {
        assert_eq!(
            asked(&chest(words), "top", question),
            answer,
            "{words}: {question}"
        );
    }
}

#[test]
fn of_a_part_at_which_nobody_looked_no_fault_is_known() {
    let silent = chest("");
    for question in [
        "fault.crazing >= 2",
        "worst_finish <= 2",
        "group.wood >= 1",
        "cue.patina_kept",
        "not cue.patina_kept",
    ] {
        assert_eq!(asked(&silent, "side-right", question), Open, "{question}");
    }
    // What is said of a drawer's front is said of the drawer.
    let front = silent
        .clone()
        .photo("", &[], vec![mark("sound", "drawer-2/front")]);
    assert_eq!(asked(&front, "drawer-2", "fault.crazing >= 2"), No);
    let not = silent.photo("", &[], vec![mark("not_examined", "drawer-1/front")]);
    assert_eq!(asked(&not, "drawer-1", "fault.crazing >= 2"), Open);
}

#[test]
fn a_fault_counts_where_it_matters() {
    let build = chest(
        "drawer-1/bottom!gouge:3 drawer-1/side-left!loose_joint:3 drawer-1/front!crazing:2 drawer-1/bottom!odour_musty:2",
    );
    for (part, question, answer) in [
        ("drawer-1", "fault.gouge >= 1", No),
        ("drawer-1", "fault.loose_joint >= 3", Yes),
        ("drawer-1", "fault.crazing >= 2", Yes),
        ("drawer-1", "fault.odour_musty >= 2", Yes),
        ("top", "fault.loose_joint >= 1", No),
    ] {
        assert_eq!(asked(&build, part, question), answer, "{part}: {question}");
    }
    assert_eq!(
        asked(
            &chest("drawer-1/front!hw_shadow"),
            "drawer-1",
            "fittings = original"
        ),
        No
    );
    assert_eq!(asked(&chest(""), "drawer-1", "fittings = original"), Open);
}

#[test]
fn work_changes_the_coat_and_the_face() {
    let worked = |words: &str, method: &str| {
        let mut build = chest(words).repair("2026-04-01", &[1]);
        build.case.repairs[0].method = method.to_owned();
        build
    };
    let top = |build: &Build, question: &str| asked(build, "top", question);
    for (method, coat) in [
        ("paint", "paint"),
        ("french_polish", "shellac"),
        ("oil_wax", "oilwax"),
        ("strip", "bare"),
    ] {
        let build = worked("fin_neither crazing:2 patina_kept", method);
        assert_eq!(
            top(&build, &format!("finish = {coat}")),
            Yes,
            "{method}: the last word counts"
        );
        assert_eq!(top(&build, "first_finish = yes"), No, "{method}");
    }
    let coated = worked("fin_alcohol crazing:2", "topcoat");
    assert_eq!(top(&coated, "finish = shellac"), Open);
    assert_eq!(top(&coated, "finish = paint"), No);
    let mut named = coated.clone();
    named.case.repairs[0].new_material = Some("Polyurethane varnish, three coats".to_owned());
    assert_eq!(top(&named, "finish = varnish"), Yes);
    let later = |build: &Build, cue: &str| {
        build.clone().shoot(Stage::Sale, "2026-05-02").photo(
            "",
            &[],
            vec![mark(cue, "top").which("")],
        )
    };
    assert_eq!(top(&later(&coated, "fin_thinner"), "finish = lacquer"), Yes);
    // Told of the part, or of the whole piece, it counts as well as told of a fault.
    let told_of = |parts: &[&str]| {
        let mut build = chest("fin_neither crazing:2 patina_kept").repair("2026-04-01", &[]);
        build.case.repairs[0].method = "paint".to_owned();
        build.case.repairs[0].parts = parts.iter().map(|it| it.parse().unwrap()).collect();
        top(&build, "finish = paint")
    };
    assert_eq!([told_of(&["top"]), told_of(&[])], [Yes, Yes]);
    assert_eq!(told_of(&["drawer-1"]), No);
    // A measure from before the sanding is too high now.
    let sanded = worked("layer_line=0.8_mm crazing:2", "sand");
    assert_eq!(top(&sanded, "face_mm < 0.5"), Open);
    assert_eq!(top(&sanded, "face_mm < 0.9"), Yes);
    let laid = worked("layer_line=0.3_mm crazing:2", "veneer_replace");
    assert_eq!(top(&laid, "face_mm < 0.5"), Open);
    // Work on a drawer's inside is no work on its front.
    let mut inside =
        chest("drawer-1/bottom!gouge:2 drawer-1!patina_kept").repair("2026-04-01", &[1]);
    inside.case.repairs[0].method = "paint".to_owned();
    assert_eq!(asked(&inside, "drawer-1", "first_finish = yes"), Yes);
}

#[test]
fn kleenes_tables() {
    let all = [Yes, No, Open];
    for a in all {
        assert_eq!(a.and(No), No);
        assert_eq!(a.or(Yes), Yes);
        assert_eq!(a.and(Yes), a);
        assert_eq!(a.or(No), a);
        assert_eq!(a.negated().negated(), a);
        for b in all {
            assert_eq!(a.and(b), b.and(a));
            assert_eq!(a.and(b).negated(), a.negated().or(b.negated()));
        }
    }
    assert_eq!((Open.and(Open), Open.or(Open)), (Open, Open));
}

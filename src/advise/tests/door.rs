//! A walk on a doorstep: its table is the program.

use std::collections::BTreeMap;

use super::made_up::settings;
use crate::advise::door::answer::Answer;
use crate::advise::door::answer::Judge;
use crate::advise::door::sheet::asked;
use crate::advise::door::sheet::walk_of;
use crate::advise::door::table::Dice;
use crate::advise::door::table::tabulate;
use crate::trade;

fn told(pairs: &[(&str, i64)]) -> Answer {
    pairs
        .iter()
        .map(|it| (it.0.to_owned(), it.1))
        .filter(|it| it.1 != 0)
        .collect()
}

/// Taps that add, two that act together, and three that only together do anything.
#[test]
fn a_table_finds_what_acts_together() {
    let sizes = [3, 4, 2, 3, 2];
    let mut asked = 0;
    let judge = |walk: &[u8]| {
        let [a, b, c, d, e] = [0, 1, 2, 3, 4].map(|at| i64::from(walk[at]));
        let shared = i64::from(a > 0 || b > 0) * 40;
        let all = i64::from(c == 1 && d == 2 && e == 1) * 7;
        told(&[
            ("sum", 10 * a + b + 100 * c),
            ("shared", shared),
            ("all", all + d),
        ])
    };
    let table = tabulate(&sizes, |walk| {
        asked += 1;
        judge(walk)
    });
    let table = table.unwrap();
    assert_eq!(table.judged, asked);
    assert!(asked < 144, "fewer than all walks");
    let all = BTreeMap::from([(vec![0, 1], 6), (vec![2, 3, 4], 1)]);
    let acting = table
        .terms
        .iter()
        .filter(|it| it.0.len() > 1 && !it.1.is_empty());
    let acting: BTreeMap<_, _> = acting.map(|it| (it.0.clone(), it.1.len())).collect();
    assert_eq!(acting, all);
    for n in 0..144_u8 {
        let walk = [n % 3, n / 3 % 4, n / 12 % 2, n / 24 % 3, n / 72];
        assert_eq!(table.answer(&walk), judge(&walk), "{walk:?}");
    }
}

/// The table of a small form is held against the program, walk by walk, at numbers that it was not made from.
#[test]
fn the_table_of_a_form_says_what_the_program_says() {
    let book = trade::book();
    let own = settings();
    let form = std::env::var("ASFOUND_DOOR_FORM");
    let form = book.form(form.as_deref().unwrap_or("bookcase")).unwrap();
    let judge = Judge::new(&own, book, "2026-06-01T10:00:00Z".parse().unwrap());
    let asked = asked(form, book);
    let sizes: Vec<u8> = asked.iter().map(|it| it.1.len() as u8 + 1).collect();
    let mut judged = 0;
    let table = tabulate(&sizes, |cell| {
        judged += 1;
        if judged % 200 == 0 {
            eprintln!("{judged}");
        }
        judge.answer(&walk_of(form, &asked, cell))
    });
    let table = table.unwrap();
    for (set, cells) in table.terms.iter().filter(|it| it.0.len() > 1) {
        let names: Vec<&str> = set.iter().map(|at| asked[*at].0.id.as_str()).collect();
        let outs: std::collections::BTreeSet<&String> =
            cells.values().flat_map(|it| it.keys()).collect();
        eprintln!(
            "{names:?} {} {:?}",
            cells.len(),
            outs.iter().take(5).collect::<Vec<_>>()
        );
    }
    let mut dice = Dice(77);
    let mut wrong = 0;
    for _ in 0..200 {
        let cell = dice.walk(&sizes);
        let walk = walk_of(form, &asked, &cell);
        if table.answer(&cell) != judge.answer(&walk) {
            wrong += 1;
        }
    }
    eprintln!("judged {} wrong {wrong} of 200", table.judged);
    assert_eq!(wrong, 0);
}

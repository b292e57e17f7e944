//! probe
use super::made_up::settings;
use crate::advise::door::answer::Judge;
use crate::advise::door::record::Walk;
use crate::advise::door::table::tabulate;
use crate::trade;

#[test]
fn probe_table() {
    let book = trade::book();
    let settings = settings();
    let judge = Judge::new(&settings, book, "2026-06-01T10:00:00Z".parse().unwrap());
    let form = std::env::var("FORM").unwrap_or("chest_of_drawers".to_owned());
    let taps: Vec<_> = book
        .taps
        .iter()
        .filter(|it| it.answers.iter().any(|it| !it.marks.is_empty()))
        .filter(|it| it.id != "glass")
        .collect();
    let sizes: Vec<u8> = taps.iter().map(|it| it.answers.len() as u8 + 1).collect();
    let start = std::time::Instant::now();
    let mut n = 0;
    let mut time = std::time::Duration::ZERO;
    let table = tabulate(&sizes, |cell| {
        let mut walk = Walk {
            form: form.clone(),
            ..Walk::default()
        };
        for (tap, at) in taps.iter().zip(cell) {
            if let Some(a) = tap.answers.get(usize::from(*at)) {
                walk.taps.insert(tap.id.clone(), a.id.clone());
            }
        }
        let t = std::time::Instant::now();
        let it = judge.assess(&walk, Default::default());
        time += t.elapsed();
        drop(it);
        n += 1;
        if n % 200 == 0 {
            eprintln!("{n} {:?} assess {:?}", start.elapsed(), time);
        }
        judge.answer(&walk)
    });
    let Some(table) = table else {
        panic!("too many")
    };
    eprintln!("judged {} in {:?}", table.judged, start.elapsed());
    for (set, cells) in &table.terms {
        let names: Vec<&str> = set.iter().map(|at| taps[*at].id.as_str()).collect();
        let outs: std::collections::BTreeSet<&String> =
            cells.values().flat_map(|it| it.keys()).collect();
        if set.len() > 1 && !outs.is_empty() {
            eprintln!(
                "{names:?} {} cells {:?}",
                cells.len(),
                outs.iter().take(6).collect::<Vec<_>>()
            );
        }
    }
}

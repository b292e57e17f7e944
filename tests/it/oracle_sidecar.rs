//! Random statements beside one picture: the program complains of a sidecar exactly when it contradicts itself, or leaves open
//! whether two faults are one, by the naive reading of `oracle_record.rs`.

use asfound::mark;
use asfound::mark::Words;
use asfound::trade::book;

use crate::oracle::number_of;
use crate::oracle_program::parts;
use crate::oracle_program::trade;
use crate::oracle_record::Maker;
use crate::oracle_record::Trade;

/// Pictures of a usual run.
const CASES: u64 = 2000;

fn words(trade: &Trade, parts: &[String]) -> Words {
    let tags = book().tags.iter();
    Words {
        parts: parts.to_vec(),
        faults: trade.tags.clone(),
        absences: tags
            .filter(|it| it.absence)
            .map(|it| it.id.clone())
            .collect(),
        observations: trade.cues.clone(),
        ..Words::default()
    }
}

#[test]
fn a_sidecar_that_contradicts_itself_is_complained_of() {
    let trade = trade();
    let first = number_of("ASFOUND_SEED", 1);
    let (mut wrong, mut seen) = (Vec::new(), [0, 0]);
    for seed in first..first + number_of("ASFOUND_CASES", CASES) {
        let (parts, photo) = Maker::new(&trade, &parts, seed).beside_one_picture();
        let against = photo.contradicts();
        seen[usize::from(against)] += 1;
        let text = photo.toml();
        let read = mark::read("IMG_1.jpg.toml", &text, &words(&trade, &parts));
        if read.is_err() != against {
            let said = read.err().into_iter().flatten().map(|it| it.message);
            wrong.push(format!("{text}\n{:?}", said.collect::<Vec<_>>()));
        }
    }
    assert!(seen.iter().all(|it| *it > 100), "{seen:?}");
    wrong.truncate(3);
    assert!(wrong.is_empty(), "{}", wrong.join("\n---\n"));
}

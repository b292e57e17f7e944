//! The critical path method on a network of activities: what can start when, and what cannot wait.
//!
//! Source of the method: Kelley and Walker, Critical-Path Planning and Scheduling, 1959 (cited from memory). Pure on
//! durations and edges; it knows nothing of furniture.

/// An edge: `to` may not start until `lag` after `from` is finished.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Edge {
    /// What comes first, an index.
    pub from: usize,
    /// What comes after it, an index.
    pub to: usize,
    /// How long must lie between, at least 0.
    pub lag: i64,
}

/// When the activities of a network can and must happen; every list by index of the activity.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Times {
    /// Earliest starts.
    pub earliest_start: Vec<i64>,
    /// Earliest finishes.
    pub earliest_finish: Vec<i64>,
    /// Latest starts that do not delay the end.
    pub latest_start: Vec<i64>,
    /// Latest finishes that do not delay the end.
    pub latest_finish: Vec<i64>,
    /// How long each may be late without delaying the end.
    pub slack: Vec<i64>,
    /// The longest way from the start of each to the end, its own duration included.
    pub tail: Vec<i64>,
    /// How long all of it takes.
    pub length: i64,
    /// Activities without slack, in an order in which they can be done.
    pub critical: Vec<usize>,
}

/// Activities that wait for each other in a ring, so that none can start.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cycle(pub Vec<usize>);

/// An order in which all can be done: among those that can start, the one with the lowest number first.
///
/// # Errors
/// With every activity that is in a ring or behind one.
pub fn order(count: usize, edges: &[Edge]) -> Result<Vec<usize>, Cycle> {
    let mut waits = vec![0_usize; count];
    for edge in edges {
        waits[edge.to] += 1;
    }
    let mut open: std::collections::BTreeSet<usize> =
        (0..count).filter(|it| waits[*it] == 0).collect();
    let mut done = Vec::with_capacity(count);
    while let Some(next) = open.pop_first() {
        done.push(next);
        for edge in edges.iter().filter(|it| it.from == next) {
            waits[edge.to] -= 1;
            if waits[edge.to] == 0 {
                open.insert(edge.to);
            }
        }
    }
    if done.len() == count {
        return Ok(done);
    }
    Err(Cycle((0..count).filter(|it| waits[*it] > 0).collect()))
}

/// The times of a network.
///
/// # Errors
/// When activities wait for each other in a ring.
pub fn times(durations: &[i64], edges: &[Edge]) -> Result<Times, Cycle> {
    let count = durations.len();
    let order = order(count, edges)?;
    let mut earliest_start = vec![0; count];
    for &at in &order {
        for edge in edges.iter().filter(|it| it.from == at) {
            let ready = earliest_start[at] + durations[at] + edge.lag;
            earliest_start[edge.to] = earliest_start[edge.to].max(ready);
        }
    }
    let finish =
        |starts: &[i64]| -> Vec<i64> { starts.iter().zip(durations).map(|(a, b)| a + b).collect() };
    let earliest_finish = finish(&earliest_start);
    let length = earliest_finish.iter().copied().max().unwrap_or(0);
    let mut tail = durations.to_vec();
    for &at in order.iter().rev() {
        for edge in edges.iter().filter(|it| it.from == at) {
            tail[at] = tail[at].max(durations[at] + edge.lag + tail[edge.to]);
        }
    }
    let latest_start: Vec<i64> = tail.iter().map(|it| length - it).collect();
    let latest_finish = finish(&latest_start);
    let slack: Vec<i64> = (0..count)
        .map(|it| latest_start[it] - earliest_start[it])
        .collect();
    let critical = order.into_iter().filter(|it| slack[*it] == 0).collect();
    Ok(Times {
        earliest_start,
        earliest_finish,
        latest_start,
        latest_finish,
        slack,
        tail,
        length,
        critical,
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::Cycle;
    use super::Edge;
    use super::order;
    use super::times;
    use crate::advise::labour::exact::Spread;
    use crate::advise::labour::pert::Pert;

    /// The construction project of Hillier and Lieberman, Introduction to Operations Research, chapter on project
    /// management (from memory): activity, weeks low, likely, high in halves, and what it follows.
    const PROJECT: [(char, [i64; 3], &str); 14] = [
        ('A', [2, 4, 6], ""),
        ('B', [4, 7, 16], "A"),
        ('C', [12, 18, 36], "B"),
        ('D', [8, 11, 20], "C"),
        ('E', [2, 9, 10], "C"),
        ('F', [8, 8, 20], "E"),
        ('G', [10, 13, 22], "D"),
        ('H', [10, 16, 34], "EG"),
        ('I', [6, 15, 18], "C"),
        ('J', [6, 18, 18], "FI"),
        ('K', [8, 8, 8], "J"),
        ('L', [2, 11, 14], "J"),
        ('M', [2, 4, 6], "H"),
        ('N', [10, 11, 18], "KL"),
    ];

    fn edges() -> Vec<Edge> {
        let at = |name: char| PROJECT.iter().position(|it| it.0 == name).unwrap();
        let of = |to: usize| {
            let before = PROJECT[to].2.chars();
            before.map(move |it| Edge {
                from: at(it),
                to,
                lag: 0,
            })
        };
        (0..PROJECT.len()).flat_map(of).collect()
    }

    #[test]
    fn the_construction_project_takes_44_weeks() {
        let weeks = [2, 4, 10, 6, 4, 5, 7, 9, 7, 8, 4, 5, 2, 6];
        let it = times(&weeks, &edges()).unwrap();
        assert_eq!(it.length, 44);
        let critical: String = it.critical.iter().map(|at| PROJECT[*at].0).collect();
        assert_eq!(critical, "ABCEFJLN");
        // Earliest and latest starts, worked by hand from the same network.
        assert_eq!(
            it.earliest_start,
            [0, 2, 6, 16, 16, 20, 22, 29, 16, 25, 33, 33, 38, 38]
        );
        assert_eq!(
            it.latest_start,
            [0, 2, 6, 20, 16, 20, 26, 33, 18, 25, 34, 33, 42, 38]
        );
        assert_eq!(it.slack[3], 4);
        assert_eq!(it.latest_finish[12], 44);
    }

    #[test]
    fn its_mean_critical_path_has_mean_44_and_variance_9() {
        let pert = |at: &usize| {
            let [low, likely, high] = PROJECT[*at].1;
            Pert::of(Spread { low, likely, high })
        };
        // Means are whole weeks, so that twelfths of a week are whole: half weeks times six.
        let means: Vec<i64> = (0..14).map(|at| pert(&at).mean_sixths).collect();
        let it = times(&means, &edges()).unwrap();
        assert_eq!(it.length, 44 * 12);
        let sum: Pert = it.critical.iter().map(pert).sum();
        // In half weeks: mean 88, variance 36.
        assert!((sum.mean() - 88.0).abs() < 1e-9);
        assert_eq!(sum.variance_36ths, 36 * 36);
    }

    #[test]
    fn lags_count_and_a_ring_is_told() {
        let edge = |from, to, lag| Edge { from, to, lag };
        let it = times(&[1, 1], &[edge(0, 1, 24)]).unwrap();
        assert_eq!((it.length, it.earliest_start[1]), (26, 25));
        let ring = [edge(0, 1, 0), edge(1, 2, 0), edge(2, 1, 0)];
        assert_eq!(order(3, &ring), Err(Cycle(vec![1, 2])));
        assert_eq!(times(&[], &[]).unwrap().length, 0);
    }

    /// The longest way by trying every way.
    fn longest(at: usize, durations: &[i64], edges: &[Edge]) -> i64 {
        let next = edges.iter().filter(|it| it.from == at);
        let rest = next.map(|it| it.lag + longest(it.to, durations, edges));
        durations[at] + rest.max().unwrap_or(0).max(0)
    }

    proptest! {
        #[test]
        fn the_length_is_that_of_the_longest_way(
            durations in prop::collection::vec(0_i64..20, 1..8),
            pairs in prop::collection::vec((0_usize..8, 0_usize..8, 0_i64..9), 0..14),
        ) {
            let count = durations.len();
            let fits = |it: &&(usize, usize, i64)| it.0 < it.1 && it.1 < count;
            let edges: Vec<Edge> = pairs.iter().filter(fits).map(|it| Edge { from: it.0, to: it.1, lag: it.2 }).collect();
            let it = times(&durations, &edges).unwrap();
            let want = (0..count).map(|at| longest(at, &durations, &edges)).max().unwrap();
            prop_assert_eq!(it.length, want);
            for edge in &edges {
                prop_assert!(it.earliest_finish[edge.from] + edge.lag <= it.earliest_start[edge.to]);
                prop_assert!(it.latest_finish[edge.from] + edge.lag <= it.latest_start[edge.to]);
            }
            prop_assert!(it.slack.iter().all(|it| *it >= 0));
            prop_assert!(!it.critical.is_empty());
        }
    }
}

//! The uncertainty of a figure from the uncertainties of what goes into it.
//!
//! JCGM 100:2008 (GUM): equation 10 for what is independent, with each term found by moving one input up and down by its own
//! standard uncertainty (5.1.3, note 2); equation 16 (a plain sum) for what is drawn with one habit; expanded with k = 2
//! (6.2.1, 6.3.3: about 95 %).

/// Standard uncertainty of a click in x and in y, as a part of the picture's longer edge: 1 px of a preview of 1600.
pub(crate) const CLICK: f64 = 1.0 / 1600.0;

/// How many standard uncertainties are told.
pub(crate) const K: f64 = 2.0;

/// Where an uncertainty comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Source {
    /// Each click for itself.
    Click,
    /// A line drawn round: a hand that keeps outside keeps outside all round, so that its clicks go together.
    Habit,
    /// The size of the thing itself.
    Thing,
}

/// One input: its value and its standard uncertainty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Input {
    /// px or mm.
    pub(crate) value: f64,
    /// The same unit.
    pub(crate) u: f64,
    /// Where it comes from.
    pub(crate) source: Source,
}

/// Standard uncertainties of a figure, in its own unit, by where they come from.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Parts {
    /// Clicks on the thing's corners and on the shape.
    pub(crate) clicks: f64,
    /// The size of the thing.
    pub(crate) thing: f64,
    /// What no click shows: the lens, a thing that does not lie flush, a tilt that is not known.
    pub(crate) floor: f64,
}

impl Parts {
    /// The expanded uncertainty.
    pub(crate) fn expanded(self) -> f64 {
        K * self.clicks.hypot(self.thing).hypot(self.floor)
    }
}

/// The clicks' and the thing's parts of a figure; inputs of one habit come in pairs x, y. `None` where the figure does not
/// exist for inputs within their uncertainty.
pub(crate) fn parts(inputs: &[Input], figure: &dyn Fn(&[f64]) -> Option<f64>) -> Option<Parts> {
    let mut values: Vec<f64> = inputs.iter().map(|it| it.value).collect();
    let mut terms = Vec::with_capacity(inputs.len());
    for (n, input) in inputs.iter().enumerate() {
        values[n] = input.value + input.u;
        let up = figure(&values)?;
        values[n] = input.value - input.u;
        let down = figure(&values)?;
        values[n] = input.value;
        terms.push((input.source, (up - down) / 2.0));
    }
    let of = |source: Source| terms.iter().filter(move |it| it.0 == source).map(|it| it.1);
    let root = |source: Source| of(source).map(|it| it * it).sum::<f64>().sqrt();
    let habit: Vec<f64> = of(Source::Habit).collect();
    let together: f64 = habit.chunks(2).map(|it| it[0].hypot(it[1])).sum();
    Some(Parts {
        clicks: root(Source::Click).hypot(together),
        thing: root(Source::Thing),
        floor: 0.0,
    })
}

//! What is told, and what is refused.

use super::near;
use crate::compare::figures::Reading;
use crate::compare::figures::Units;
use crate::compare::figures::rounded;
use crate::compare::measure::Measured;
use crate::compare::measure::measure;
use crate::compare::measure_error::MeasureError;
use crate::compare::picture::Picture;
use crate::model::mark::Scale;
use crate::model::region::Region;

const PICTURE: Picture = Picture {
    width: 2000,
    height: 1000,
};

/// A card square before the camera, 10 px a mm: 856 x 539.8 px with its corner at 600, 200.
fn card() -> Scale {
    let corners = [
        [600.0, 200.0],
        [1456.0, 200.0],
        [1456.0, 739.8],
        [600.0, 739.8],
    ];
    Scale {
        width_mm: 85.60,
        height_mm: Some(53.98),
        corners: corners.map(percent).to_vec(),
    }
}

/// A tape along the lower edge, 100 mm of it, 10 px a mm.
fn tape() -> Scale {
    Scale {
        width_mm: 100.0,
        height_mm: None,
        corners: [[500.0, 900.0], [1500.0, 900.0]].map(percent).to_vec(),
    }
}

fn percent([x, y]: [f64; 2]) -> [f64; 2] {
    [x / 20.0, y / 10.0]
}

fn line(ends: [[f64; 2]; 2]) -> Region {
    Region::Line(ends.map(percent).to_vec())
}

fn reading(value: f64, u: f64) -> Option<Reading> {
    Some(Reading { value, u })
}

/// GUM 7.2.6: 10.47 is rounded up to 11, 28.05 down to 28, and y = 10.057 62 with 0.027 is 10.058 with 27 in the last places.
#[test]
fn figures_are_rounded_as_the_guide_says() {
    for (value, u, told) in [
        (1234.5, 10.47, "1235 ± 11"),
        (1234.5, 28.05, "1235 ± 28"),
        (10.05762, 0.027, "10.058 ± 0.027"),
        (70.2, 3.1, "70 ± 3"),
        (70.2, 3.2, "70 ± 4"),
        (70.2, 2.13, "70.2 ± 2.1"),
        (70.2, 2.19, "70.2 ± 2.2"),
        (70.26, 0.96, "70.3 ± 1.0"),
        (1234.5, 41.0, "1230 ± 40"),
        (0.5, 0.1, "0.50 ± 0.10"),
        (1000.0, 300.0, "1000 ± 300"),
    ] {
        let (value, u) = rounded(value, u);
        assert_eq!(format!("{value} ± {u}"), told);
    }
}

#[test]
fn figures_in_words() {
    let line = Measured {
        length_mm: reading(70.26, 3.05),
        ..Measured::default()
    };
    assert_eq!(line.text(Units::Millimetres), "70 ± 3 mm");
    assert_eq!(line.size(Units::Millimetres).unwrap(), "70 mm (± 3 mm)");
    assert_eq!(line.text(Units::Inches), "2.77 ± 0.12 in");
    assert_eq!(line.size(Units::Inches).unwrap(), "2.77 in (± 0.12 in)");
    let boxed = Measured {
        length_mm: reading(56.2, 3.0),
        across_mm: reading(43.4, 2.87),
        area_mm2: reading(2439.0, 170.0),
        notes: Vec::new(),
    };
    assert_eq!(
        boxed.text(Units::Millimetres),
        "56 ± 3 mm x 43.4 ± 2.8 mm, 24.4 ± 1.7 cm2"
    );
    assert_eq!(
        boxed.size(Units::Millimetres).unwrap(),
        "56 x 43.4 mm (± 3 x 2.8 mm)"
    );
    let small = Measured {
        area_mm2: reading(235.4, 32.0),
        ..Measured::default()
    };
    assert_eq!(small.text(Units::Millimetres), "240 ± 40 mm2");
    assert_eq!(
        small.size(Units::Millimetres).unwrap(),
        "240 mm2 (± 40 mm2)"
    );
    let json = serde_json::to_value(&line).unwrap();
    assert_eq!(json["length_mm"]["u"], 3.05);
    assert!(json["area_mm2"].is_null());
}

#[test]
fn each_shape_tells_what_it_can() {
    let told = measure(&card(), PICTURE, &line([[700.0, 300.0], [1300.0, 300.0]])).unwrap();
    near(told.length_mm.unwrap().value, 60.0, 1e-9);
    assert_eq!((told.across_mm, told.area_mm2), (None, None));
    assert_eq!(
        told.notes,
        ["true only in the plane in which the card lies"]
    );
    let told = measure(&card(), PICTURE, &Region::Box([35.0, 30.0, 20.0, 30.0])).unwrap();
    near(told.length_mm.unwrap().value, 40.0, 1e-9);
    near(told.across_mm.unwrap().value, 30.0, 1e-9);
    near(told.area_mm2.unwrap().value, 1200.0, 1e-6);
    assert_eq!(
        told.text(Units::Millimetres),
        "40.0 ± 1.4 mm x 30.0 ± 1.1 mm, 12.0 ± 0.9 cm2"
    );
    let outline = [[700.0, 300.0], [1300.0, 300.0], [1000.0, 500.0]];
    let told = measure(
        &card(),
        PICTURE,
        &Region::Outline(outline.map(percent).to_vec()),
    )
    .unwrap();
    near(told.length_mm.unwrap().value, 60.0, 1e-9);
    near(told.across_mm.unwrap().value, 20.0, 1e-9);
    near(told.area_mm2.unwrap().value, 600.0, 1e-6);
    let told = measure(&card(), PICTURE, &Region::Spot([50.0, 50.0])).unwrap();
    assert_eq!(told.text(Units::Millimetres), "no size");
    assert_eq!(told.size(Units::Millimetres), None);
    assert_eq!(
        told.notes,
        ["a spot has no size; draw a line, an outline or a box"]
    );
}

#[test]
fn an_outline_that_crosses_itself_has_no_area() {
    let bow = [
        [700.0, 300.0],
        [1300.0, 500.0],
        [1300.0, 300.0],
        [700.0, 500.0],
    ];
    let told = measure(
        &card(),
        PICTURE,
        &Region::Outline(bow.map(percent).to_vec()),
    )
    .unwrap();
    assert_eq!(told.area_mm2, None);
    near(told.length_mm.unwrap().value, 60.0_f64.hypot(20.0), 1e-9);
    assert!(told.notes.iter().any(|it| it.contains("crosses itself")));
}

/// A hair line drawn round: its length is known, its width and area are not.
#[test]
fn what_could_be_off_by_more_than_half_is_left_out() {
    let hair = [
        [700.0, 300.0],
        [1300.0, 300.0],
        [1300.0, 304.0],
        [700.0, 304.0],
    ];
    let told = measure(
        &card(),
        PICTURE,
        &Region::Outline(hair.map(percent).to_vec()),
    )
    .unwrap();
    near(told.length_mm.unwrap().value, 60.0, 0.01);
    assert_eq!((told.across_mm, told.area_mm2), (None, None));
    let notes = told.notes.join("; ");
    assert!(notes.contains("the extent across is not told"), "{notes}");
    assert!(notes.contains("the area is not told"), "{notes}");
    let dot = line([[700.0, 300.0], [702.0, 300.0]]);
    assert_eq!(
        measure(&card(), PICTURE, &dot),
        Err(MeasureError::TooUnsure)
    );
}

#[test]
fn a_tape_tells_lengths_along_it_best() {
    let u = |ends| {
        let told = measure(&tape(), PICTURE, &line(ends)).unwrap();
        let told = told.length_mm.unwrap();
        near(told.value, 60.0, 1e-9);
        told.u / told.value
    };
    let beside = u([[700.0, 890.0], [1300.0, 890.0]]);
    let across = u([[1000.0, 890.0], [1000.0, 290.0]]);
    let far = u([[700.0, 90.0], [1300.0, 90.0]]);
    assert!(
        beside < 0.05 && across > 1.5 * beside && far > 3.0 * beside,
        "{beside} {across} {far}"
    );
    let boxed = measure(&tape(), PICTURE, &Region::Box([40.0, 60.0, 20.0, 20.0])).unwrap();
    near(boxed.length_mm.unwrap().value, 40.0, 1e-9);
    near(boxed.across_mm.unwrap().value, 20.0, 1e-9);
    assert_eq!(boxed.area_mm2, None);
    assert!(boxed.notes[0].contains("no tilt"), "{:?}", boxed.notes);
}

#[test]
fn what_is_no_scale_or_no_shape_is_refused() {
    let shape = line([[700.0, 300.0], [1300.0, 300.0]]);
    let with = |change: &dyn Fn(&mut Scale)| {
        let mut scale = card();
        change(&mut scale);
        measure(&scale, PICTURE, &shape)
    };
    assert_eq!(
        with(&|it| it.corners.truncate(3)),
        Err(MeasureError::NoScale)
    );
    assert_eq!(
        with(&|it| it.corners.truncate(2)),
        Err(MeasureError::NoScale)
    );
    assert_eq!(
        with(&|it| it.width_mm = f64::NAN),
        Err(MeasureError::NoScale)
    );
    assert_eq!(
        with(&|it| it.height_mm = Some(0.0)),
        Err(MeasureError::NoScale)
    );
    assert_eq!(
        with(&|it| it.corners[0][0] = f64::NAN),
        Err(MeasureError::NoScale)
    );
    assert_eq!(
        with(&|it| it.corners.swap(0, 1)),
        Err(MeasureError::Corners)
    );
    assert_eq!(
        with(&|it| it.corners[1] = it.corners[0]),
        Err(MeasureError::Corners)
    );
    assert_eq!(
        with(&|it| it.corners[0] = [55.0, 50.0]),
        Err(MeasureError::Corners),
        "a dent"
    );
    let nothing = [
        line([[700.0, 300.0], [700.0, 300.0]]),
        Region::Line(vec![[1.0, 1.0]]),
        Region::Line(vec![[1.0, 1.0], [f64::NAN, 1.0]]),
        Region::Outline(vec![[1.0, 1.0]; 4]),
    ];
    for shape in nothing {
        assert_eq!(
            measure(&card(), PICTURE, &shape),
            Err(MeasureError::NoShape),
            "{shape:?}"
        );
    }
    let empty = Picture {
        width: 0,
        height: 10,
    };
    assert_eq!(measure(&card(), empty, &shape), Err(MeasureError::NoShape));
}

/// A card on a floor that runs to a horizon in the picture: what is drawn on the wall above it has no size.
#[test]
fn past_the_horizon_nothing_is_measured() {
    let corners = [
        [800.0, 600.0],
        [1200.0, 600.0],
        [1400.0, 900.0],
        [600.0, 900.0],
    ];
    let scale = Scale {
        corners: corners.map(percent).to_vec(),
        ..card()
    };
    let told = |y: f64| measure(&scale, PICTURE, &line([[900.0, y], [1100.0, y]]));
    assert!(told(700.0).is_ok());
    for y in [310.0, 299.0, 10.0] {
        assert_eq!(told(y), Err(MeasureError::PastHorizon), "{y}");
    }
}

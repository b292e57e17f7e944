//! Chessboards of known size, photographed with a wide lens that nobody corrected.

use super::near;
use crate::compare::measure::measure;
use crate::compare::picture::Picture;
use crate::compare::ruler::Ruler;
use crate::compare::ruler::flat::Flat;
use crate::compare::shape::Figure;
use crate::compare::shape::Shape;
use crate::model::mark::Scale;
use crate::model::region::Region;
use crate::plane::Xy;
use crate::plane::distance;

const BOARDS: &str = include_str!("chessboards.txt");

/// Inner corners in a row.
const WIDE: usize = 9;

/// Rows of them.
const HIGH: usize = 6;

/// Side of a square, mm.
const SQUARE: f64 = 25.0;

const PICTURE: Picture = Picture {
    width: 640,
    height: 480,
};

struct Board {
    name: &'static str,
    corners: Vec<Xy>,
}

fn boards() -> Vec<Board> {
    let lines = BOARDS.lines().filter(|it| !it.starts_with('#'));
    let read = lines.map(|line| {
        let (name, rest) = line.split_once(' ').unwrap();
        let point = |it: &str| -> Xy {
            let (x, y) = it.split_once(',').unwrap();
            [x.parse().unwrap(), y.parse().unwrap()]
        };
        let corners: Vec<Xy> = rest.split(' ').map(point).collect();
        assert_eq!(corners.len(), WIDE * HIGH, "{name}");
        Board { name, corners }
    });
    read.collect()
}

impl Board {
    fn at(&self, [x, y]: [usize; 2]) -> Xy {
        self.corners[WIDE * y + x]
    }

    /// The four corners of a part of the board: its first square, its width and height in squares.
    fn part(&self, [x, y]: [usize; 2], [w, h]: [usize; 2]) -> [Xy; 4] {
        [[x, y], [x + w, y], [x + w, y + h], [x, y + h]].map(|it| self.at(it))
    }

    fn scale(&self, from: [usize; 2], squares: [usize; 2]) -> Scale {
        let [width, height] = squares.map(mm);
        Scale {
            width_mm: width,
            height_mm: Some(height),
            corners: self.part(from, squares).map(percent).to_vec(),
        }
    }
}

fn percent([x, y]: Xy) -> Xy {
    [x / 6.40, y / 4.80]
}

#[expect(clippy::cast_precision_loss, reason = "at most 9")]
fn mm(squares: usize) -> f64 {
    SQUARE * squares as f64
}

/// A board as worked out with OpenCV: its outermost corners (px), rms and greatest error of all corners (mm), the length of four
/// squares in its middle (mm).
type Row = (&'static str, [Xy; 4], f64, f64, f64);

const TABLE: [Row; 3] = [
    (
        "left01",
        [
            [244.427, 94.165],
            [513.790, 86.548],
            [510.376, 266.228],
            [248.826, 253.612],
        ],
        1.313,
        2.288,
        102.015,
    ),
    (
        "left06",
        [
            [588.987, 138.837],
            [550.198, 420.680],
            [390.201, 387.195],
            [417.045, 126.959],
        ],
        2.080,
        3.715,
        102.104,
    ),
    (
        "left12",
        [
            [423.330, 71.077],
            [449.501, 407.964],
            [198.589, 408.700],
            [227.403, 81.874],
        ],
        1.669,
        2.396,
        103.462,
    ),
];

/// The inner corners of the table were found with another window than ours, hence the 0.2 mm.
#[test]
fn the_boards_measure_as_the_table_says_and_within_what_is_told() {
    let boards = boards();
    for (name, corners, rms, worst, four) in TABLE {
        let board = boards.iter().find(|it| it.name == name).unwrap();
        let flat = Flat::new(&corners, [200.0, 125.0]).unwrap();
        let off = (0..HIGH).flat_map(|y| (0..WIDE).map(move |x| [x, y]));
        let off = off.map(|it| distance(flat.to_mm(board.at(it)).unwrap(), it.map(mm)));
        let off: Vec<f64> = off.collect();
        let mean = off.iter().map(|it| it * it).sum::<f64>() / 54.0;
        near(mean.sqrt(), rms, 0.03);
        near(off.iter().copied().fold(0.0, f64::max), worst, 0.1);
        let line = [[2, 2], [6, 2]].map(|it| percent(board.at(it)));
        let scale = Scale {
            corners: corners.map(percent).to_vec(),
            ..board.scale([0, 0], [8, 5])
        };
        let told = measure(&scale, PICTURE, &Region::Line(line.to_vec())).unwrap();
        let told = told.length_mm.unwrap();
        near(told.value, four, 0.2);
        for length in [told.value, four] {
            assert!((length - 100.0).abs() <= told.u, "{name}: {told:?}");
        }
        assert!(told.u < 5.0, "{name}: {told:?}");
    }
}

/// A few squares as the scale, every length of four squares measured by it: the lens's share alone (no doubt of the board's size)
/// must hold 95 % of them, on the scale and farther and farther outside it. Parts of which neither perspective (bent by the lens) nor the
/// edges tell how they lie are few, and are left out: they are told as a doubt.
#[test]
fn a_part_of_a_board_measures_the_rest_within_what_is_told() {
    let mut rings = vec![[0_u32; 2]; 4];
    let mut guessed = 0;
    for board in boards() {
        for squares in [[3, 2], [4, 3], [8, 5]] {
            for x in (0..WIDE - squares[0]).step_by(2) {
                for y in (0..HIGH - squares[1]).step_by(2) {
                    let from = [x, y];
                    let ruler = Ruler::of(&board.scale(from, squares), PICTURE).unwrap();
                    if ruler.notes(&[]).len() > 1 {
                        guessed += 1;
                    } else {
                        count(&board, &ruler, from, squares, &mut rings);
                    }
                }
            }
        }
    }
    assert!(guessed <= 17, "{guessed} of 169 parts");
    for (n, [all, within]) in rings.into_iter().enumerate() {
        let part = f64::from(within) / f64::from(all);
        assert!(all > 500 && part >= 0.95, "ring {n}: {within} of {all}");
    }
}

/// Counts the lengths of four squares by how far they reach out: all, and those within what is told.
fn count(
    board: &Board,
    ruler: &Ruler,
    from: [usize; 2],
    squares: [usize; 2],
    rings: &mut [[u32; 2]],
) {
    let lines = [[4, 0], [0, 4]].into_iter().flat_map(|[w, h]| {
        let starts = (0..WIDE - w).flat_map(move |x| (0..HIGH - h).map(move |y| [x, y]));
        starts.map(move |[x, y]| [[x, y], [x + w, y + h]])
    });
    for ends in lines {
        let out = ends.map(|it| {
            let over = [0, 1].map(|n| {
                let at = mm(it[n]) - mm(from[n]);
                (at - mm(squares[n])).max(-at).max(0.0)
            });
            over[0].hypot(over[1]) / mm(squares[0])
        });
        let ring = match out[0].max(out[1]) {
            it if it < 1e-9 => 0,
            it if it <= 0.7 => 1,
            it if it <= 1.3 => 2,
            _ => 3,
        };
        let line = Region::Line(ends.map(|it| percent(board.at(it))).to_vec());
        let shape = Shape::of(&line, PICTURE.px()).unwrap();
        let (value, parts) = ruler.budget(&shape, &Figure::Path).unwrap();
        let told = 2.0 * parts.clicks.hypot(parts.floor);
        rings[ring][0] += 1;
        rings[ring][1] += u32::from((value - 100.0).abs() <= told);
    }
}

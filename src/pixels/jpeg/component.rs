//! One colour of a JPEG, and what takes the numbers that a scan tells of it.

use crate::jpeg::bits;

/// The divisors of a block's numbers, in the order of the file (ITU-T T.81, B.2.4.1).
pub(crate) type Divisors = [u16; 64];

/// One colour component of the frame.
#[derive(Clone, Debug)]
pub(crate) struct Component {
    /// The name that scans call it by.
    pub(crate) id: u8,
    /// Blocks across in each unit of an interleaved scan.
    pub(crate) across: usize,
    /// Blocks down in each unit.
    pub(crate) down: usize,
    /// Blocks across that hold pixels, for a scan of this component alone.
    pub(crate) wide: usize,
    /// Blocks down that hold pixels.
    pub(crate) high: usize,
    /// Blocks in a row, those beyond the edge counted.
    pub(crate) stride: usize,
    /// Which divisors it has.
    pub(crate) quantiser: usize,
    /// Progressive: which of the 64 numbers of each block are known not to be zero, a bit each.
    pub(crate) known: Vec<u64>,
}

/// Takes the numbers of a picture whose blocks are told one after the other, each whole.
pub(crate) trait Sink {
    /// Whole bytes that may be left where a scan, or its part up to a restart, is complete; with 0, nothing may lie between segments either.
    const LEFT: usize = bits::LEFT;
    /// A scan begins; whether it alone tells the whole picture.
    fn begin(&mut self, components: &[Component], divisors: &[Option<Divisors>; 4], whole: bool);
    /// A number of a block of that component, and its place in the order of the file.
    fn number(&mut self, component: usize, at: usize, value: i32);
    /// The block in this column and row of its component is told.
    fn block(&mut self, component: usize, column: usize, row: usize);
}

/// Takes nothing, and lets so many bytes be left over.
pub(crate) struct Nothing<const LEFT: usize>;

impl<const LEFT: usize> Sink for Nothing<LEFT> {
    const LEFT: usize = LEFT;
    fn begin(&mut self, _: &[Component], _: &[Option<Divisors>; 4], _: bool) {}
    fn number(&mut self, _: usize, _: usize, _: i32) {}
    fn block(&mut self, _: usize, _: usize, _: usize) {}
}

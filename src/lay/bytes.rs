//! What was found in a picture as bytes to keep, and back: finding it again costs most of a preparation.
//!
//! `spots 1\n`, the number of spots, then for each: x, y, size, turn as f32, and its description as 128 bytes; all numbers
//! little-endian.

use crate::lens::Lens;
use crate::photo::Grey;
use crate::photo::Photo;
use crate::photo::straight_field;
use crate::spots::DESCRIPTION;
use crate::spots::Spot;

/// What bytes of this kind begin with; another number when another preparation finds other spots.
const HEAD: &[u8; 8] = b"spots 1\n";
/// Bytes of one spot.
const SPOT: usize = 4 * 4 + DESCRIPTION;

impl Photo {
    /// The spots of the picture as bytes.
    #[must_use]
    pub fn kept(&self) -> Vec<u8> {
        let mut bytes = HEAD.to_vec();
        bytes.extend((self.spots.len() as u32).to_le_bytes());
        for it in &self.spots {
            for number in [it.x, it.y, it.size, it.turn] {
                bytes.extend(number.to_le_bytes());
            }
            bytes.extend(it.looks);
        }
        bytes
    }

    /// The same picture again, with the spots that were kept of it. `None` where the bytes are not what [`Photo::kept`] gave
    /// in this version, or the picture is none; it must be prepared anew then.
    #[must_use]
    pub fn with_kept(grey: Grey<'_>, lens: Lens, kept: &[u8]) -> Option<Self> {
        let rest = kept.strip_prefix(HEAD)?;
        let (count, rest) = rest.split_first_chunk()?;
        let count = u32::from_le_bytes(*count) as usize;
        if rest.len() != count.checked_mul(SPOT)? {
            return None;
        }
        let spots: Option<Vec<Spot>> = rest.chunks_exact(SPOT).map(spot).collect();
        let spots = spots?;
        let inside = |it: &Spot| {
            let sides = [(it.x, grey.width), (it.y, grey.height)];
            sides
                .iter()
                .all(|(at, side)| *at > -1.0 && *at <= *side as f32)
        };
        let sound = spots
            .iter()
            .all(|it| inside(it) && it.size > 0.0 && it.turn.is_finite());
        sound.then(|| Some(Self::with_spots(&straight_field(grey, &lens)?, spots, lens)))?
    }
}

fn spot(bytes: &[u8]) -> Option<Spot> {
    let (numbers, looks) = bytes.split_at(16);
    let number = |n: usize| {
        let it = numbers.get(4 * n..)?.first_chunk()?;
        Some(f32::from_le_bytes(*it))
    };
    Some(Spot {
        x: number(0)?,
        y: number(1)?,
        size: number(2)?,
        turn: number(3)?,
        looks: looks.try_into().ok()?,
    })
}

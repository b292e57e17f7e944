//! The pictures still to take, in walking order.
//!
//! In: an assessment. Out: the pictures to take, in the order in which one walks round the piece.

pub mod area_shot;
pub mod earlier;
pub(in crate::advise::shots) mod held_back;
pub(in crate::advise) mod not_seen;
pub mod shot_list;
pub(in crate::advise) mod shot_words;
pub mod to_take;

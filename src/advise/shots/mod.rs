//! The pictures still to take, in walking order.

pub mod earlier;
pub mod shot_list;
pub(in crate::advise) mod shot_words;

//! The pictures to take, in lines that two commands print.

use crate::work::advice::shot_list::ShotLine;

/// A line for each view: its word, its name, how.
pub(in crate::cli) fn lines(lines: &[ShotLine]) -> Vec<String> {
    let line = |it: &ShotLine| format!("  {:<20} {}: {}", it.view, it.label, it.how);
    lines.iter().map(line).collect()
}

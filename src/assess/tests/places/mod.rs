//! Where a fault lies, what a picture shows of that place, and what is written against what is drawn.

mod contradictions;
mod laid;
mod levels;
mod other_marks;
mod taken_out;
mod turns;
mod unseen;

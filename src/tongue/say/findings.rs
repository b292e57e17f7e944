//! The block of a finding: its facts, its looks through time, its pictures.

messages! {
    FINDINGS;

    stated(text);
    none_on_record();
    group_other();
    group_line(numbers, at);
    fact_measure();
    fact_place();
    fact_level();
    fact_state();
    fact_origin();
    fact_work();
    was_before(then);
    it_remains(now);
    level_untold();
    level_criterion(criterion);
    level_not_met(size, criterion);
    drawn_within(photo, width, height, face, off);
    lies_above(face, across, down, off);
    lies_back(face, across, down, off);
    lies_beyond(lies);
    mm_run(from, to);
    mm(number);

    look_when(day, stage);
    look_level(state, level);
    look_size(state, size);
    look_both(state, size, level);
    look_sound(part);
    look_sound_whole();
    look_not_marked();
    look_lies(photo);
    pictures_say(pictures, state);
    picture_lacks();
}

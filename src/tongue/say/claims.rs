//! What bears a word of the seller that claims something, and where that word stands.

messages! {
    CLAIMS;

    // Where it stands.
    claim_in(word, place);
    claim_also_in(place);
    place_title();
    place_about();
    place_weight();
    place_note(photo);
    place_mark(photo);
    place_material(repair);
    place_hides(repair);
    place_repair(repair);

    // What bears it.
    bears_seen(seen);
    bears_untouched(seen);
    bears_all_solid();
    bears_looked_at();
    bears_counted(counted, worst);
    bears_wood(part, wood, photo);
    bears_cue(term, part, photo);
    bears_sound(part, day, photo);
    bears_found_sound(part, day, photo);
    bears_shown(part, day, photo);
    bears_tried(part, day, photo);
    bears_closed(no, term, part, state);
}

//! What it is made of and when, and what else was seen.

messages! {
    MADE;

    // What a part is made of.
    made_unsettled();
    made_woods();
    part_gone();
    class_solid();
    class_veneer();
    class_plywood();
    class_particleboard();
    class_mdf();
    class_laminate();
    class_print();
    class_composition();
    may_solid();
    may_mdf();
    may_be(classes);
    class_over(class, core);
    class_seen(class, seen);
    open_seen(seen);
    open_nothing();
    below_face(core);
    leans_to(class);
    top_likely(drawers);
    cited(term, pictures);
    cover_woven(seen);
    cover_only(seen);
    cover_opened(day, repair, seen);
    cover_opened_since(day, repair, seen);
    cover_new(day, repair, seen);
    cover_new_since(day, repair, seen);
    wood_by_eye(parts, wood, pictures);

    // When it was made.
    made_when();
    made_aside();
    made_no_certificate();
    made_open();
    made_opinion(bounds, by);
    made_between(from, to);
    made_after(from);
    made_before(to);
    made_one_part(part, without);
    made_others_after(year);
    made_others_silent();
    made_against(from, late, to, early, either);
    either_one(part);
    either_parts();
    aside_fittings();
    aside_drawer();
    aside_repaired();
    aside_new();
    aside_old_repair();
    aside_two_parts();
    aside_changed();
    aside_work(day);
    aside_repairs();
    aside_weak();
    clue_at(term, part, photo);
    clue_between(clue, from, to);
    clue_after(clue, from);
    clue_before(clue, to);

    // What else was seen.
    seen_no_fault();
    seen_none();
    seen_notes();
    taken_off_since();
    less_than_before();
    more_than_before();
    no_longer_so();
}

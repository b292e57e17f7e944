//! The shot list.

messages! {
    SHOTS;

    shot_title(stage);
    shot_count(number);
    shot_ticked(done, all);
    shot_kept();
    shot_not_kept();
    shot_no_scripts();
    shot_clear();
    shot_mind();
    shot_walk();
    shot_light();
    shot_card();
    shot_shows();
    shot_tells();
    shot_card_is();
    shot_sides();
    shot_held(held);
    shot_held_views(number);
    shot_taken_out(view, pictures);
    shot_unnamed(number);
    shot_first();
    shot_again();
    shot_areas();
    shot_besides();
    shows_all(kind, number);
    shows_at(kind, places);
    fault_which(term, which);
    shot_no_earlier();
    shot_same_place(photo, view, stage, day);
    shot_same_place_bare(photo, stage, day);
    shot_light_none();
    shot_light_then();
    shot_light_as_then(light);
    shot_noted_then(note);
    shot_treated();
    shot_before(before, how);
    mind_drops(parts);
    mind_weak(parts);
    mind_upright(parts);
    mind_unmoved(parts);
    mind_off_first(parts);
    once_mended(parts);
    once_off(parts);
    once_off_mended(parts, mended);
    lamp_only(parts);
    area_open(place, enough, best);
    area_none();
    area_best(best);
    area_how(mm);
}

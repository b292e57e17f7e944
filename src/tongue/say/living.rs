//! Living with a piece: safety, care, the air through the year, sale and arrival.

messages! {
    LIVING;

    // Safety and care.
    safety_local();
    safety_general();
    safety_moves();
    care_finish();
    care_air();
    care_dust();
    care_set_down();
    care_shellac();
    care_gilded();
    care_humidity();

    // Sale and arrival.
    sale_title();
    sale_used();
    sale_risk();
    sale_shown(number, pictures);
    arrival_title();
    arrival_pictures();
    arrival_sheet();
    arrival_tell();
    arrival_mark();
    arrival_views();

    // How parts move with the air.
    air_part(part, wood, told);
    air_across_measured(width, grain);
    air_across_size(width, grain);
    air_high(width, grain);
    grain_flat();
    grain_quarter();
    grain_unknown();
    wood_figures(name, wood);
    air_if_solid(told);
    air_wider(much, summer, winter);
    air_narrower(much, summer, winter);
    air_about(mm);
    air_less();
    air_from_now(now, winter, summer);
    air_either_way();
    air_mm_wider(mm);
    air_mm_narrower(mm);
    air_must_be_free();
    air_hardly();
    air_no_width();
    air_no_figure();
    drawer_hardly();
    drawer_needs(mm);
    drawer_may_bind(play);
    drawer_stays_free(play);
}

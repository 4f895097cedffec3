//! The promises of the program, one file a promise.

// A test that cannot go on has failed, and says where.
#![allow(
    clippy::unwrap_used,
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss,
    clippy::type_complexity
)]

mod arguments;
mod club_pages;
mod course_begun;
mod course_examples;
mod course_faults;
mod course_quantities;
mod course_schema;
mod course_site;
mod course_texts;
mod course_tyres;
mod course_yaml;
mod day_adds_up;
mod engine_axles;
mod engine_corners;
mod engine_courses;
mod engine_examples;
mod engine_findings;
mod engine_forgiving;
mod engine_integrated;
mod engine_one_value;
mod engine_published;
mod engine_published_drivetrain;
mod engine_published_grip;
mod engine_published_heat;
mod engine_rim;
mod engine_slides;
mod engine_special;
mod engine_speed;
mod engine_truths;
mod engine_units;
mod engine_words;
mod engine_worse;
mod gears_chosen;
mod house;
mod house_circles;
mod names;
mod pack_command;
mod pack_text;
mod pages;
mod pages_access;
mod pages_cards;
mod pages_deciding;
mod pages_demonstration;
mod pages_drawings;
mod pages_editions;
mod pages_figures;
mod pages_grey;
mod pages_imperial;
mod pages_instructor;
mod pages_layout;
mod pages_locked;
mod pages_one_value;
mod pages_paper;
mod pages_people;
mod pages_pictures;
mod pages_read;
mod pages_shows;
mod pages_site;
mod pages_truths;
mod pages_words;
mod paper_appeals;
mod paper_bands;
mod paper_broken;
mod paper_forms;
mod paper_judges;
mod paper_marking;
mod paper_parallel;
mod paper_premises;
mod paper_quiz;
mod paper_record;
mod paper_results;
mod paper_secrets;
mod paper_small;
mod paper_solved;
mod paper_standards;
mod paper_statistics;
mod paper_units;
mod paper_whole;
mod print_beside;
mod print_cache;
mod print_kept;
mod print_named;
mod print_picture;
mod print_problem;
mod print_publish;
mod print_returned;
mod print_scripts;
mod print_shape;
mod print_text;
mod print_typesetter;
mod print_watch;
mod program;
mod reckon_lines;
mod recovery_above;
mod recovery_anchors;
mod recovery_boxes;
mod recovery_brute;
mod recovery_cautions;
mod recovery_forces;
mod recovery_ladder;
mod recovery_lessons;
mod recovery_pages;
mod recovery_pairs;
mod recovery_points;
mod recovery_published;
mod recovery_refusals;
mod recovery_rigs;
mod recovery_rules;
mod recovery_second;
mod roster_files;
mod rota_faults;
mod rota_plan;
mod weekend_changes;
mod weekend_held;
mod weekend_pages;
mod weekend_walk_ins;

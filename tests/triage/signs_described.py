"""One plain description for each cause: what a person would see, and not see."""

DESCRIBED = {
    "nothing_wrong": (["sour_smell", "sour_strip", "unchanged"], ["rotten_smell", "green_mould"]),
    "air": (["green_mould", "warm", "musty_smell", "lid_loose"], []),
    "thin_bran": (
        ["rotten_smell", "bran_thin", "high_strip"],
        ["much_animal", "bran_off", "wet_scraps", "old_scraps"],
    ),
    "weak_bran": (["weak_smell", "high_strip", "bran_off", "green_mould"], []),
    "too_wet": (["much_liquid", "drips", "wet_scraps"], []),
    "standing_liquid": (
        ["foul_liquid", "liquid_stands", "rarely_drained"],
        ["much_liquid", "tap_stuck"],
    ),
    "too_dry": (
        ["dry_crumbly", "no_liquid", "weak_smell", "unchanged"],
        ["sour_smell", "vinegar_smell", "stands_cold", "bran_off"],
    ),
    "animal_food": (
        ["rotten_smell", "much_animal", "rancid_smell", "foul_liquid"],
        ["wet_scraps", "bran_thin", "old_scraps", "rarely_drained"],
    ),
    "rotten_scraps": (
        ["rotten_smell", "old_scraps", "green_mould"],
        ["bran_off", "lid_loose", "bran_thin", "much_animal"],
    ),
    "cold": (["frozen", "weak_smell", "stands_cold"], []),
    "hot": (["warm", "stands_hot", "lid_bulges"], []),
    "coarse": (
        ["mould_throughout", "big_pieces", "unchanged", "musty_smell"],
        ["lid_loose", "opened_often", "green_mould", "old_scraps", "long_filled", "warm"],
    ),
    "slow_filling": (
        [
            "white_bloom",
            "long_filled",
            "musty_smell",
            "sour_smell",
            "middling_strip",
            "mould_specks",
        ],
        ["lid_loose", "warm", "opened_often", "unchanged", "vinegar_smell"],
    ),
    "soil_inside": (
        ["rotten_smell", "soil_went_in", "slimy", "rancid_smell", "ammonia_smell"],
        ["much_animal", "wet_scraps", "rarely_drained"],
    ),
    "sugary": (
        ["alcohol_smell", "lid_bulges", "sweet_scraps"],
        ["warm", "rotten_smell", "unchanged", "vinegar_smell"],
    ),
    "alkaline": (["ammonia_smell", "high_strip", "lime_went_in"], []),
    "low_sugar": (
        ["weak_smell", "high_strip", "poor_scraps", "unchanged", "no_liquid"],
        [
            "stands_cold",
            "short_rest",
            "bran_thin",
            "bran_off",
            "big_pieces",
            "dry_crumbly",
            "sour_smell",
        ],
    ),
    "blocked_tap": (["tap_stuck", "no_liquid", "liquid_stands"], ["foul_liquid", "rotten_smell"]),
    "broken_vessel": (["leak", "lid_loose"], ["opened_often"]),
    "flies_got_in": (
        ["flies", "opened_often", "dark_liquid"],
        ["lid_loose", "green_mould", "warm", "old_scraps", "bran_thin", "musty_smell"],
    ),
    "killing_agent": (["weak_smell", "high_strip", "cleaner_went_in"], ["bran_off", "bran_thin"]),
    "too_early": (
        ["weak_smell", "high_strip_young", "short_rest", "unchanged", "no_liquid", "dark_liquid"],
        [
            "stands_cold",
            "bran_off",
            "bran_thin",
            "big_pieces",
            "dry_crumbly",
            "vinegar_smell",
            "poor_scraps",
        ],
    ),
    "ground_well": (
        ["earth_smell", "white_threads", "soil_sinks"],
        [
            "soil_smells",
            "lumps_found",
            "yellow_seedlings",
            "cover_thin",
            "buried_thick",
            "planted_early",
        ],
    ),
    "thin_cover": (["animals_dig", "cover_thin", "flies_over_soil"], []),
    "thick_lump": (["soil_smells", "lumps_found", "buried_thick"], ["water_stands"]),
    "waterlogged": (["soil_smells", "water_stands", "wilting"], []),
    "cold_or_dry_soil": (["lumps_found", "soil_cold_or_dry"], ["buried_thick", "water_stands"]),
    "planted_too_soon": (["seedlings_die", "planted_early", "worms_flee"], []),
    "nitrogen_tied_up": (["yellow_seedlings", "paper_in_batch", "earth_smell"], []),
    "salt": (["salt_crust", "burnt_leaves", "salty_place"], ["fed_strong"]),
    "ammonia_burst": (
        ["ammonia_in_soil", "animal_buried", "seedlings_die", "worms_flee"],
        ["planted_early", "buried_thick", "batch_was_bad", "earth_smell"],
    ),
    "strong_liquid": (["burnt_leaves", "fed_strong"], ["salt_crust", "salty_place"]),
    "failed_batch_buried": (
        ["soil_smells", "batch_was_bad"],
        ["cover_thin", "buried_thick", "water_stands"],
    ),
    "animals_drawn": (
        ["animals_dig", "animal_buried", "flies_over_soil"],
        ["cover_thin", "soil_smells", "planted_early"],
    ),
    "something_else": (["yellow_seedlings", "unburied_bed_too"], []),
}

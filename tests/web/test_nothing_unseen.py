"""Forms do not write down by themselves what nobody saw."""

import re


def field(text, name):
    both = rf'<select id="{name}".*?</select>|<input id="{name}".*?>'
    return re.search(both, text, re.S)[0]


def test_strip_and_draining_begin_empty_and_show_the_last_time(home, as_):
    text = as_("coordinator").get(f"/p/{home.id}/v/blue").content.decode()
    for name, last in (("f-ph", "4.4"), ("f-drained", "120")):
        assert 'value=""' in field(text, name)
        assert f'placeholder="{last}"' in field(text, name)
    assert not re.search(r'name="of"[^>]*checked', text)


def test_a_bed_takes_the_resting_vessel_first_and_chooses_no_crop(home, as_):
    text = as_("coordinator").get(f"/p/{home.id}/beds").content.decode()
    assert re.findall('value="(.*?)"', field(text, "f-from-wall")) == ["green", "blue"]
    assert re.findall('value="(.*?)"', field(text, "f-crop-wall"))[0] == ""


def test_a_vessel_that_fills_is_never_chosen_by_itself(home, as_):
    home.write("emptied", {"vessel": "green", "fate": "buried"}, 0.1)
    text = as_("coordinator").get(f"/p/{home.id}/beds").content.decode()
    assert re.findall('value="(.*?)"', field(text, "f-from-wall")) == ["", "blue"]

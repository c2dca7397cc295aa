"""Trouble is told in one line on standard error, with an exit code that says whose it is."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import sourloam
from sourloam.cli import main
from sourloam.cli import plan as plan_verb

HOME = Path(__file__).parents[2] / "examples" / "home.toml"


def run(*arguments):
    with pytest.raises(SystemExit) as caught:
        main([str(argument) for argument in arguments])
    return caught.value.code


def refused(capsys, *arguments):
    """The one line, after checking that nothing else was said."""
    assert run(*arguments) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("sourloam: ")
    assert err.count("\n") == 1
    return err


def test_the_version_is_printed(capsys):
    assert run("--version") == 0
    assert capsys.readouterr().out == f"sourloam {sourloam.__version__}\n"


@pytest.mark.parametrize("verb", ["plan", "garden", "sources", "validate"])
def test_each_verb_says_what_it_does_and_what_each_option_means(capsys, monkeypatch, verb):
    monkeypatch.setenv("COLUMNS", "80")
    assert run(verb, "--help") == 0
    out = capsys.readouterr().out
    assert max(map(len, out.splitlines())) <= 80
    paragraphs = out.split("\n\n")
    assert paragraphs[1].strip().endswith(".")
    assert len(paragraphs[2].split()) > 10  # more than the first line again
    options = [line.split() for line in out.splitlines() if line.startswith("  --")]
    assert all(len(words) > 3 for words in options)


def test_no_verb_is_cut_short_in_the_list(capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    run()
    assert "..." not in capsys.readouterr().out.partition("Commands:")[2]


def test_without_a_verb_the_verbs_are_shown(capsys):
    assert run() == 0
    out = capsys.readouterr().out
    assert "plan" in out
    assert "sources" in out


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["pan"], "Did you mean 'plan'"),
        (["plan"], "Missing argument 'SITE.toml'"),
        (["plan", "none.toml"], "none.toml: there is no such file"),
        (["plan", HOME, "--years", "0"], "--years"),
        (["plan", HOME, "--years", "x"], "--years"),
        (["plan", HOME, "--members", "3"], "--members"),
        (["plan", HOME, "--seed", "-1"], "--seed"),
        (["plan", HOME, "--units", "yards"], "'metric', 'us'"),
        (["plan", HOME, "--chat", "x.svg"], "--chart"),
        (["plan", HOME, "--chart", "x.pdf"], "x.pdf: ends in .pdf; give one of .svg, .png, .html"),
        (["plan", HOME, "--chart", "x"], "x: has no ending; give one of .svg"),
        (["plan", HOME, "--chart", "nowhere/x.svg"], "there is no folder nowhere"),
        (["plan", HOME.parent], "this is a folder"),
        (["sources", "scrap"], 'no topic "scrap"; the nearest is scraps'),
        (["sources", "vessel.lid_lek"], "the nearest is vessel.lid_leak"),
        (["sources", "a\nb\x1b[31m"], "no topic"),
    ],
    ids=range(16),
)
def test_what_cannot_be_done_is_told_in_one_line(capsys, arguments, said):
    assert said in refused(capsys, *arguments)


def test_a_fault_in_the_file_is_told_with_its_key(capsys, tmp_path):
    file = tmp_path / "site.toml"
    file.write_text(HOME.read_text(encoding="utf-8").replace("people = 3", "people = -3"), "utf-8")
    assert "site.toml: line 19: scraps[1].people: found -3; must lie" in refused(
        capsys, "plan", file
    )


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_that_cannot_be_written_to_is_told_before_computing(capsys, tmp_path):
    tmp_path.chmod(0o500)
    assert "can't be written to" in refused(capsys, "plan", HOME, "--chart", tmp_path / "x.svg")


def test_a_chart_is_checked_before_the_file_is_read(capsys):
    assert "ends in .doc" in refused(capsys, "plan", "none.toml", "--chart", "x.doc")


def test_a_fault_of_our_own_is_one_line_too_and_has_another_code(capsys, monkeypatch):
    def broken(*_, **__):
        raise ZeroDivisionError("nothing\nto share")

    monkeypatch.setattr(plan_verb, "_compute", broken)
    monkeypatch.delenv("SOURLOAM_TRACE", raising=False)
    assert run("plan", HOME) == 1
    err = capsys.readouterr().err
    assert "a fault of Sourloam, not of yours: ZeroDivisionError: nothing to share" in err
    assert err.count("\n") == 1


def test_a_fault_of_our_own_shows_where_when_asked(monkeypatch):
    def broken(*_, **__):
        raise ZeroDivisionError

    monkeypatch.setattr(plan_verb, "_compute", broken)
    monkeypatch.setenv("SOURLOAM_TRACE", "1")
    with pytest.raises(ZeroDivisionError):
        main(["plan", str(HOME)])


def test_interrupting_ends_with_130_and_one_line(capsys, monkeypatch):
    def interrupted(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr(plan_verb, "_compute", interrupted)
    assert run("plan", HOME) == 130
    assert capsys.readouterr().err == "sourloam: interrupted; nothing was written\n"


def command(*arguments, **more):
    code = "import sys; from sourloam.cli import main; main(sys.argv[1:])"
    return subprocess.Popen(
        [sys.executable, "-c", code, *map(str, arguments)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        **more,
    )


def test_a_real_interrupt_while_it_works_leaves_no_trace():
    """The reader of the pipe never comes, so that the command is surely still at work."""
    code = (
        "import time, sourloam.cli.plan as p\n"
        "def slow(*_, **__):\n    print('at work', flush=True)\n    time.sleep(60)\n"
        "p._compute = slow\n"
        "from sourloam.cli import main\n"
        f"main(['plan', {str(HOME)!r}])"
    )
    child = subprocess.Popen(
        [sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    assert child.stdout.readline() == "at work\n"
    child.send_signal(signal.SIGINT)
    _, err = child.communicate(timeout=20)
    assert (child.returncode, err) == (130, "sourloam: interrupted; nothing was written\n")


def test_a_reader_that_goes_away_is_no_trouble():
    child = command("sources", "--json")
    child.stdout.read(10)
    child.stdout.close()
    err = child.stderr.read()
    child.stderr.close()
    assert (child.wait(timeout=60), err) == (0, "")


def test_help_comes_at_once():
    """About 0.15 s here; 2 s of processor time leaves room for slow machines, none for numba."""
    before = os.times()
    child = command("--help")
    out, _ = child.communicate(timeout=60)
    after = os.times()
    spent = after.children_user + after.children_system
    assert "plan" in out
    assert spent - before.children_user - before.children_system < 2


def test_help_loads_nothing_heavy():
    code = (
        "import sys, sourloam.cli\n"
        "print(*(m for m in ('numba', 'altair', 'scipy', 'numpy', 'pint') if m in sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == ""


@settings(
    derandomize=True,
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(
    st.lists(
        st.one_of(
            st.text(max_size=12),
            st.sampled_from(
                ["plan", "sources", "--chart", "--json", "--units", "us", "--seed", "1", "--", "-",
                 "--members", "x.svg", "none.toml", "units"]
            ),
        ),
        max_size=5,
    )
)  # fmt: skip
def test_any_arguments_get_a_result_or_one_line(capsys, arguments):
    begun = time.monotonic()
    code = run(*arguments)
    err = capsys.readouterr().err
    assert code in (0, 2)
    assert err.count("\n") == (code == 2)
    assert "Traceback" not in err
    assert time.monotonic() - begun < 20


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no device that is always full here")
@pytest.mark.parametrize(
    ("redirected", "why"), [(">/dev/full", "no space left"), (">&-", "it is closed")]
)
def test_an_answer_that_cannot_be_written_is_told_in_one_line(redirected, why):
    call = "from sourloam.cli import main; main(['sources', 'beds'])"
    command = f'"{sys.executable}" -c "{call}" {redirected}'
    ended = subprocess.run(["sh", "-c", command], capture_output=True, text=True, check=False)
    assert ended.returncode == 2
    assert ended.stderr.startswith("sourloam: the answer can't be written")
    assert why in ended.stderr
    assert ended.stderr.count("\n") == 1

#!/usr/bin/env python3
"""Libraries that need other libraries, from folders, archives and repositories: what is resolved,
locked and verified, and what a lock does not let through.

Prints "ok NAME" or "not ok NAME: why" for each.
"""

import io
import json
import os
import pathlib
import signal
import subprocess
import sys
import tarfile
import tempfile
import threading
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
FETTLE = os.environ.get("FETTLE", str(ROOT / "build/release/fettle"))


class Studio:
    """A folder with libraries, and a cache of its own."""

    def __init__(self):
        self.kept = tempfile.TemporaryDirectory(prefix="fettle_library_")
        self.path = pathlib.Path(self.kept.name)
        self.environment = dict(os.environ, FETTLE_CACHE=str(self.path / "cache"),
                                GIT_AUTHOR_NAME="T", GIT_AUTHOR_EMAIL="t@example.org",
                                GIT_COMMITTER_NAME="T", GIT_COMMITTER_EMAIL="t@example.org",
                                GIT_CONFIG_GLOBAL="/dev/null", GIT_CONFIG_NOSYSTEM="1")

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.kept.cleanup()

    def write(self, name, text):
        path = self.path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")

    def library(self, folder, name, version, needs=(), files=None):
        lines = "".join(f"    needs {need}\n" for need in needs)
        self.write(f"{folder}/library.fettle",
                   f'library {name} {{\n    version {version}\n    licence "CC-BY-4.0"\n'
                   f'    about "For a test"\n    needs std 1\n{lines}}}\n')
        for file, text in (files or {}).items():
            self.write(f"{folder}/{file}", text)

    def git(self, *words, folder="."):
        subprocess.run(["git", *words], cwd=self.path / folder, env=self.environment, check=True,
                       capture_output=True, timeout=60)

    def repository(self, folder, version, tag=None):
        """The folder as it is becomes a commit with a tag."""
        if not (self.path / folder / ".git").exists():
            self.git("init", "-q", folder)
        self.git("add", "-A", folder=folder)
        self.git("commit", "-q", "-m", version, folder=folder)
        self.git("tag", "-f", tag or f"v{version}", folder=folder)

    def run(self, *words, code=0, folder="."):
        ran = subprocess.run([FETTLE, *words], cwd=self.path / folder, env=self.environment,
                             capture_output=True, timeout=120, check=False)
        said = (ran.stdout + ran.stderr).decode("utf-8", "replace")
        assert ran.returncode == code, f"`{' '.join(words)}` ended with {ran.returncode}: {said}"
        return said

    def lock(self, folder="common"):
        return (self.path / folder / "library.lock").read_text(encoding="utf-8")


def template(peak="1000C"):
    return f"template ash(peak: Temperature = {peak}) {{ phase up {{ ramp to peak at 100C/h }} }}\n"


USER = {"firings.fettle": "use tidewater.glazes.ash (ash)\nfiring mugs = ash()\n"}


def has(text, *parts):
    for part in parts:
        assert part in text, f"`{part}` is not in: {text}"


def a_folder_is_locked():
    with Studio() as s:
        s.library("tide", "tidewater.glazes", "0.3.0", files={"ash.fettle": template()})
        s.library("common", "harbour_row.common", "1.0.0",
                  ['tidewater.glazes 0.3 from "../tide"'], USER)
        has(s.run("check", "firings.fettle", folder="common", code=1), "unmet-need",
            "fettle library resolve")
        has(s.run("library", "resolve", folder="common"), "tidewater.glazes 0.3.0")
        s.run("check", "firings.fettle", folder="common")
        before = s.lock()
        has(s.run("library", "resolve", "common"), "as before")
        assert s.lock() == before
        s.write("tide/ash.fettle", template("900C"))
        has(s.run("check", "firings.fettle", folder="common", code=1), "../tide/ash.fettle",
            "library.lock")
        has(s.run("library", "verify", "common", code=1), "tide/ash.fettle", "not what was locked")
        has(s.run("library", "resolve", "common", code=1), "has changed since it was locked",
            "`ash.fettle`", "--update")
        assert s.lock() == before
        has(s.run("library", "resolve", "--update", "common"), "its files changed")
        s.run("check", "firings.fettle", folder="common")


def a_folder_of_libraries_is_a_workspace():
    with Studio() as s:
        s.library("tide", "tidewater.glazes", "0.3.0", files={"ash.fettle": template()})
        s.library("common", "harbour_row.common", "1.0.0",
                  ['tidewater.glazes 0.3 from "../tide"'], USER)
        s.run("check", ".")  # no lock is needed between them
        s.write("tide/ash.fettle", template("900C"))
        s.run("check", ".")
        s.library("tide", "tidewater.glazes", "0.4.0")
        has(s.run("check", ".", code=1), "from 0.3.0 to below 0.4.0", "is version 0.4.0")
        s.library("tide", "tidewater.glazes", "0.3.9")
        has(s.run("library", "resolve", "."), "tidewater.glazes 0.3.9", "common: 1 library",
            "tide: 0 libraries")


def private_names_stay_private():
    with Studio() as s:
        s.library("tide", "tidewater.glazes", "0.3.0",
                  files={"ash.fettle": "private " + template()})
        s.library("common", "harbour_row.common", "1.0.0",
                  ['tidewater.glazes 0.3 from "../tide"'], USER)
        s.run("library", "resolve", "common")
        has(s.run("check", "firings.fettle", folder="common", code=1), "private-name")


def a_repository_at_a_tag():
    with Studio() as s:
        for version in ("0.3.0", "0.3.1", "0.4.0", "0.3.2-beta.1"):
            s.library("tide", "tidewater.glazes", version, files={"ash.fettle": template()})
            s.write("tide/notes/big.bin", "not part of the library")
            s.repository("tide", version, tag=version if version == "0.3.0" else None)
        s.library("common", "harbour_row.common", "1.0.0",
                  ['tidewater.glazes 0.3 from "git:../tide"'], USER)
        has(s.run("library", "resolve", "common"), "tidewater.glazes 0.3.1")
        has(s.lock(), "from     git ../tide", "tag      v0.3.1", "commit   ")
        assert "big.bin" not in s.lock()
        s.run("check", "firings.fettle", folder="common")
        s.run("library", "verify", "--sources", "common")
        # Offline once locked: the repository goes away.
        (s.path / "tide").rename(s.path / "gone")
        has(s.run("library", "resolve", "common"), "as before")
        s.run("check", "firings.fettle", folder="common")
        has(s.run("library", "verify", "--sources", "common", code=1), "can't be asked")
        has(s.run("library", "resolve", "--update", "common", code=1), "can't be asked", "git says")
        s.run("check", "firings.fettle", folder="common")  # nothing was broken by that


def a_tag_that_moved():
    with Studio() as s:
        s.library("tide", "tidewater.glazes", "0.3.1", files={"ash.fettle": template()})
        s.repository("tide", "0.3.1")
        s.library("common", "harbour_row.common", "1.0.0",
                  ['tidewater.glazes 0.3 from "git:../tide"'], USER)
        s.run("library", "resolve", "common")
        s.write("tide/ash.fettle", template("950C"))
        s.repository("tide", "0.3.1")
        before = s.lock()
        has(s.run("library", "verify", "--sources", "common", code=1), "the tag `v0.3.1`", "moved")
        s.run("library", "verify", "common")  # what is here is still right
        has(s.run("library", "resolve", "--update", "common", code=1), "`ash.fettle` is another",
            "The tag `v0.3.1` was moved")
        subprocess.run(["rm", "-rf", s.path / "cache"], check=True)
        has(s.run("check", "firings.fettle", folder="common", code=1), "not on this machine yet")
        has(s.run("library", "resolve", "common", code=1), "The tag `v0.3.1` was moved")
        assert s.lock() == before


def a_cache_that_was_tampered_with():
    with Studio() as s:
        s.library("tide", "tidewater.glazes", "0.3.1", files={"ash.fettle": template()})
        s.repository("tide", "0.3.1")
        s.library("common", "harbour_row.common", "1.0.0",
                  ['tidewater.glazes 0.3 from "git:../tide"'], USER)
        s.run("library", "resolve", "common")
        kept = next((s.path / "cache").rglob("ash.fettle"))
        kept.write_text(template("1250C"), encoding="utf-8")
        has(s.run("check", "firings.fettle", folder="common", code=1),
            "tidewater.glazes-0.3.1/ash.fettle", "is not what")
        has(s.run("library", "verify", "common", code=1), "`ash.fettle`", "not what was locked")
        s.run("library", "resolve", "common")  # puts it right
        s.run("check", "firings.fettle", folder="common")
        kept.unlink()  # half of it is there
        s.run("check", "firings.fettle", folder="common", code=1)
        s.run("library", "resolve", "common")
        s.run("check", "firings.fettle", folder="common")


def a_lock_that_was_tampered_with():
    with Studio() as s:
        s.library("tide", "tidewater.glazes", "0.3.1", files={"ash.fettle": template()})
        s.library("common", "harbour_row.common", "1.0.0",
                  ['tidewater.glazes 0.3 from "../tide"'], USER)
        s.run("library", "resolve", "common")
        for old, new, said in (("    wanted", "    wonted", "line 9"), ("0.3.1", "0.3", "line 7"),
                               ("ash.fettle", "../a.fettle", "does not belong"),
                               ("contents ", "contents 0", "line 10")):
            good = s.lock()
            s.write("common/library.lock", good.replace(old, new, 1))
            has(s.run("check", "firings.fettle", folder="common", code=1), "is damaged", said)
            has(s.run("library", "resolve", "common", code=1), "is damaged", said)
            s.write("common/library.lock", good)
        good = s.lock()
        s.write("common/library.lock", good.replace("std 1.0.0", "std 1.7.0"))
        has(s.run("library", "verify", "common", code=1), "std 1.7.0 was locked")
        s.write("common/library.lock", good)
        s.library("common", "harbour_row.common", "1.0.0",
                  ['tidewater.glazes 0.4 from "../tide"'], USER)
        has(s.run("check", "firings.fettle", folder="common", code=1),
            "0.4 is needed, but `library.lock` has 0.3.1")


def two_versions_at_once():
    with Studio() as s:
        for version in ("0.3.0", "0.4.0"):
            s.library("tide", "tidewater.glazes", version, files={"ash.fettle": template()})
            s.repository("tide", version)
        s.library("kilns", "tidewater.kilns", "1.0.0",
                  ['tidewater.glazes 0.4 from "git:../tide"'])
        s.library("common", "harbour_row.common", "1.0.0",
                  ['tidewater.glazes 0.3 from "git:../tide"',
                   'tidewater.kilns 1 from "../kilns"'], USER)
        has(s.run("library", "resolve", "common", code=1),
            "two versions of `tidewater.glazes` are wanted",
            "harbour_row.common asks for 0.3 (from 0.3.0 to below 0.4.0)",
            "tidewater.kilns 1.0.0 (which harbour_row.common needs) asks for 0.4")
        assert not (s.path / "common/library.lock").exists()


def an_older_one_where_only_that_fits():
    """The newest kilns want newer glazes than may be used: the ones before them do."""
    with Studio() as s:
        for version in ("0.3.0", "0.4.0"):
            s.library("tide", "tidewater.glazes", version, files={"ash.fettle": template()})
            s.repository("tide", version)
        for version, glazes in (("1.0.0", "0.3"), ("1.1.0", "0.4")):
            s.library("kilns", "tidewater.kilns", version,
                      [f'tidewater.glazes {glazes} from "git:../tide"'])
            s.repository("kilns", version)
        s.library("common", "harbour_row.common", "1.0.0",
                  ['tidewater.kilns 1 from "git:../kilns"',
                   'tidewater.glazes 0.3 from "git:../tide"'], USER)
        has(s.run("library", "resolve", "common"), "tidewater.glazes 0.3.0",
            "tidewater.kilns 1.0.0")
        has(s.lock(), "wanted   0.3 by tidewater.kilns 1.0.0", "wanted   0.3 by harbour_row.common")


def circles():
    with Studio() as s:
        s.library("a", "one.a", "1.0.0", ['one.b 1 from "../b"'])
        s.library("b", "one.b", "1.0.0", ['one.c 1 from "../c"'])
        s.library("c", "one.c", "1.0.0", ['one.b 1 from "../b"'])
        has(s.run("library", "resolve", "a", code=1), "in a circle",
            "`one.c` needs `one.b`, which needs `one.c`")
        s.library("c", "one.c", "1.0.0", ['one.a 1 from "../a"'])
        has(s.run("library", "resolve", "a", code=1), "in a circle", "`one.a`")
        s.library("a", "one.a", "1.0.0", ['one.a 1 from "../a"'])
        has(s.run("library", "resolve", "a", code=1), "`one.a` needs `one.a`")


def nothing_fits():
    with Studio() as s:
        s.library("tide", "tidewater.glazes", "0.3.0")
        for need, said in (
                ('tidewater.glazes 0.4 from "../tide"', "there is 0.3.0"),
                ('tidewater.glazes 0.3 from "../nowhere"', "it is not there"),
                ('tidewater.glaze 0.3 from "../tide"', "calls itself tidewater.glazes 0.3.0"),
                ('tidewater.glazes 0.3', "nobody says where it comes from"),
                ('tidewater.glazes 0.3 from "git:../nowhere"', "git says"),
                ('tidewater.glazes 0.3 from "git:--upload-pack=x"', "git says"),
                ('tidewater.glazes 0.3 from "git:ext::sh -c true"', "no address")):
            s.library("common", "harbour_row.common", "1.0.0", [need])
            has(s.run("library", "resolve", "common", code=1), said)
        s.write("common/library.fettle", "library a.b { version 1.0.0; needs std 2 }\n")
        has(s.run("library", "resolve", "common", code=1), "a.b needs std 2", "has std 1.0.0")


def links_and_odd_names():
    with Studio() as s:
        s.library("tide", "tidewater.glazes", "0.3.0")
        s.library("common", "harbour_row.common", "1.0.0", ['tidewater.glazes 0.3 from "../tide"'])
        (s.path / "tide/a.fettle").symlink_to("/etc/passwd")
        has(s.run("library", "resolve", "common", code=1), "tide/a.fettle", "no links")
        (s.path / "tide/a.fettle").unlink()
        s.write("tide/cafe\u0301.fettle", "")
        has(s.run("library", "resolve", "common", code=1), "not every disk keeps")
        (s.path / "tide/cafe\u0301.fettle").unlink()
        s.write("tide/Ash.fettle", "")
        s.write("tide/ash.fettle", "")
        has(s.run("library", "resolve", "common", code=1), "would be one on many disks")


def many_at_once():
    """Eight processes fill one cache, over and over."""
    with Studio() as s:
        files = {f"m{i}.fettle": template() for i in range(50)}
        s.library("tide", "tidewater.glazes", "0.3.1", files=files)
        s.repository("tide", "0.3.1")
        failures = []

        def work(number):
            folder = f"user{number}"
            s.library(folder, f"user.u{number}", "1.0.0",
                      ['tidewater.glazes 0.3 from "git:../tide"'])
            try:
                for _ in range(3):
                    s.run("library", "resolve", folder)
                    s.run("library", "verify", folder)
            except AssertionError as problem:
                failures.append(str(problem))

        threads = [threading.Thread(target=work, args=(n,)) for n in range(8)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert not failures, failures[0]
        kept = list((s.path / "cache/contents").iterdir())
        assert len(kept) == 1, kept
        assert not (s.path / "cache/unfinished").exists()


def a_killed_resolve():
    """Killed at any moment, it leaves either no lock or a whole one, and runs again."""
    with Studio() as s:
        files = {f"m{i}.fettle": template() for i in range(300)}
        s.library("tide", "tidewater.glazes", "0.3.1", files=files)
        s.repository("tide", "0.3.1")
        s.library("common", "harbour_row.common", "1.0.0",
                  ['tidewater.glazes 0.3 from "git:../tide"'])
        killed = 0
        for step in range(12):
            process = subprocess.Popen([FETTLE, "library", "resolve", "common"], cwd=s.path,
                                       env=s.environment, stdout=subprocess.DEVNULL,
                                       stderr=subprocess.DEVNULL, start_new_session=True)
            time.sleep(0.004 * (step + 1))
            os.killpg(process.pid, signal.SIGKILL)
            killed += process.wait() != 0
            if (s.path / "common/library.lock").exists():
                s.run("library", "verify", "common")
        assert killed > 0
        s.run("library", "resolve", "common")
        s.run("library", "verify", "common")
        leftovers = [p for p in (s.path / "common").iterdir() if p.name.endswith(".new")]
        assert len(leftovers) <= killed


def publish(s, version, peak="1000C", into="shelf", **more):
    s.library("tide", "tidewater.glazes", version, files={"ash.fettle": template(peak)})
    return s.run("library", "publish", "tide", "--into", into, **more)


def archives_on_a_shelf():
    with Studio() as s:
        publish(s, "0.3.0")
        s.library("kilns", "tidewater.kilns", "1.0.0", ["tidewater.glazes 0.3"])
        has(s.run("library", "publish", "kilns", "--into", "shelf"), "Wrote shelf/tidewater.kilns")
        # It takes the glazes from beside it, though nobody says where they are.
        s.library("common", "harbour_row.common", "1.0.0", ['tidewater.kilns 1 from "../shelf"'])
        has(s.run("library", "resolve", "common"), "tidewater.glazes 0.3.0",
            "../shelf/tidewater.kilns-1.0.0.tar")
        s.library("common", "harbour_row.common", "1.0.0",
                  [f'tidewater.glazes 0.3 from "file://{s.path}/shelf/tidewater.glazes-0.3.0.tar"'],
                  USER)
        has(s.run("library", "resolve", "common"), "tidewater.glazes 0.3.0")
        s.run("check", "firings.fettle", folder="common")
        (s.path / "shelf").rename(s.path / "gone")
        s.run("library", "resolve", "common")
        s.run("check", "firings.fettle", folder="common")


def an_archive_is_the_same_everywhere():
    with Studio() as s:
        publish(s, "0.3.0")
        name = "tidewater.glazes-0.3.0.tar"
        first = (s.path / "shelf" / name).read_bytes()
        # Another folder, umask, time zone, order of creation, times, language.
        other = s.path / "elsewhere/deeper/other_name"
        other.mkdir(parents=True)
        for file in reversed(sorted((s.path / "tide").iterdir())):
            (other / file.name).write_bytes(file.read_bytes())
            os.utime(other / file.name, (1, 1))
            (other / file.name).chmod(0o755)
        (other / "library.lock").write_text("no part of it")
        (other / ".hidden").write_text("no part of it")
        ran = subprocess.run(["sh", "-c", f"umask 077; exec {FETTLE} library publish "
                              f"{other} --into {s.path}/shelf2"], cwd="/", check=True,
                             capture_output=True, timeout=60,
                             env=dict(s.environment, TZ="Asia/Kathmandu", LC_ALL="tr_TR.UTF-8"))
        assert (s.path / "shelf2" / name).read_bytes() == first, ran.stdout
        # The ordinary tools open it and agree with its hashes.
        subprocess.run(["tar", "xf", f"shelf/{name}"], cwd=s.path, check=True)
        subprocess.run(["sha256sum", "--quiet", "--check", "library.sha256"], check=True,
                       cwd=s.path / "tidewater.glazes-0.3.0")
        with tarfile.open(s.path / "shelf" / name) as tar:
            for entry in tar:
                assert (entry.mtime, entry.uid, entry.uname, entry.mode) == (0, 0, "", 0o644)
        facts = json.loads((s.path / "tidewater.glazes-0.3.0/library.json").read_text())
        assert facts["licence"] == "CC-BY-4.0" and facts["version"] == "0.3.0"
        has(s.run("library", "verify", f"shelf/{name}"), "all with the right hash")


def what_is_not_published():
    with Studio() as s:
        publish(s, "1.0.0")
        has(publish(s, "1.0.0"), "and the same")
        has(publish(s, "1.0.0", "900C", code=1), "a published version never changes")
        has(publish(s, "1.0.1", "900C", code=1), "asks for a major step: 2.0.0", "peak 900C")
        has(publish(s, "1.1.0", code=1), "nothing changed since")
        s.write("tide/more.fettle", template().replace("ash", "other"))
        s.library("tide", "tidewater.glazes", "1.0.1")
        has(s.run("library", "publish", "tide", "--into", "shelf", code=1),
            "asks for a minor step: 1.1.0", "new      template more.other")
        s.library("tide", "tidewater.glazes", "1.1.0")
        s.run("library", "publish", "tide", "--into", "shelf")
        for old, new, said in (
                ('licence "CC-BY-4.0"', "", "its licence: there is none"),
                ("CC-BY-4.0", "CC-BY-4", "did you mean `CC-BY-4.0`?"),
                ("CC-BY-4.0", "GPL-2.0", "an old name"),
                ("CC-BY-4.0", "MIT OR", "a licence is missing"),
                ('about "For a test"', "", "says nothing about itself"),
                ("    needs std 1\n", '    needs std 1\n    needs a.b 1 from "../b"\n',
                 "leave `from` out")):
            s.library("tide", "tidewater.glazes", "1.2.0", files={"words.fettle": "# new\n"})
            s.library("b", "a.b", "1.0.0")
            text = (s.path / "tide/library.fettle").read_text()
            s.write("tide/library.fettle", text.replace(old, new))
            has(s.run("library", "publish", "tide", "--into", "shelf", code=1), said,
                "Nothing was written")
        s.library("tide", "tidewater.glazes", "1.2.0",
                  files={"t.fettle": 'test "sums" { expect 1 > 2 }\n'})
        has(s.run("library", "publish", "tide", "--into", "shelf", code=1),
            'its test "sums" fails')
        s.write("tide/t.fettle", "let x = 1 +\n")
        has(s.run("library", "publish", "tide", "--into", "shelf", code=1), "does not compile")
        assert len(list((s.path / "shelf").iterdir())) == 2


def damaged_archives():
    with Studio() as s:
        publish(s, "0.3.0")
        name = "tidewater.glazes-0.3.0"
        good = (s.path / f"shelf/{name}.tar").read_bytes()
        s.library("common", "harbour_row.common", "1.0.0",
                  [f'tidewater.glazes 0.3 from "../bad/{name}.tar"'])
        (s.path / "bad").mkdir()

        def refused(data, said):
            (s.path / f"bad/{name}.tar").write_bytes(data)
            has(s.run("library", "resolve", "common", code=1), said)
            has(s.run("library", "verify", f"bad/{name}.tar", code=1), said)
            assert not (s.path / "common/library.lock").exists()
            assert sorted(p.name for p in s.path.iterdir()) == ["bad", "common", "shelf", "tide"], \
                list(s.path.iterdir())

        def tar_with(*entries, form=tarfile.USTAR_FORMAT):
            data = io.BytesIO()
            with tarfile.open(fileobj=data, mode="w", format=form) as tar:
                for path, change, body in entries:
                    info = tarfile.TarInfo(path)
                    info.size = len(body)
                    for key, value in change.items():
                        setattr(info, key, value)
                    tar.addfile(info, io.BytesIO(body))
            return data.getvalue()

        refused(good.replace(b"1000C", b"1250C"), "`ash.fettle` in it is not what its list")
        refused(good[:1500], "ends in the middle")
        refused(tar_with((f"{name}/../../evil.fettle", {}, b"x")), "leads out of the folder")
        refused(tar_with(("/tmp/evil.fettle", {}, b"x")), "starts at the root of the disk")
        refused(tar_with((f"{name}/a", {"type": tarfile.SYMTYPE, "linkname": "/etc"}, b"")),
                "is a link")
        refused(tar_with((f"{name}/a", {"type": tarfile.LNKTYPE, "linkname": "x"}, b"")),
                "is a link")
        refused(tar_with((f"{name}/a", {"type": tarfile.FIFOTYPE}, b"")), "no plain file")
        refused(tar_with((f"{name}/Ash.md", {}, b"1"), (f"{name}/ash.md", {}, b"2")),
                "one on many disks")
        refused(tar_with((f"{name}/cafe\u0301.md", {}, b"1")), "not every disk keeps")
        refused(tar_with((f"{name}/a\u202egpj.md", {}, b"1"), form=tarfile.GNU_FORMAT),
                "in it")
        refused(b"\x1f\x8b" + good, "is compressed")
        refused(b"PK\x03\x04" + good, "is compressed")
        refused(b"", "ends in the middle")
        # More entries than any library has; 10 GB that the disk need not hold.
        block = tar_with((f"{name}/a", {"type": tarfile.DIRTYPE}, b""))[:512]
        refused(block * 45000 + bytes(1024), "more entries")
        with open(s.path / f"bad/{name}.tar", "wb") as bomb:
            bomb.truncate(10 << 30)
        has(s.run("library", "resolve", "common", code=1), "larger than 320 MiB")
        has(s.run("library", "verify", f"bad/{name}.tar", code=1), "larger than 320 MiB")
        header = bytearray(tar_with((f"{name}/a", {}, b"")))[:512]
        header[124:136] = b"77777777777\0"
        header[148:156] = b" " * 8
        header[148:156] = b"%06o\0 " % sum(header)
        refused(bytes(header) + bytes(2048), "larger than 16 MiB")


def signatures():
    with Studio() as s:
        signify = next((p for p in ("signify-openbsd", "signify")
                        if subprocess.run(["which", p], capture_output=True).returncode == 0), None)
        assert signify, "signify is not installed"
        for key in ("ours", "other"):
            subprocess.run([signify, "-G", "-n", "-p", f"{key}.pub", "-s", f"{key}.sec"],
                           cwd=s.path, check=True)
        s.library("tide", "tidewater.glazes", "0.3.0", files={"ash.fettle": template()})
        s.run("library", "publish", "tide", "--into", "shelf", "--key", "ours.sec")
        path = "shelf/tidewater.glazes-0.3.0.tar"
        has(s.run("library", "verify", path), "it is signed")
        has(s.run("library", "verify", path, "--key", "ours.pub"), "signed by the key ours.pub")
        subprocess.run([signify, "-V", "-q", "-p", "ours.pub", "-m", path, "-x", path + ".sig"],
                       cwd=s.path, check=True)
        has(s.run("library", "verify", path, "--key", "other.pub", code=1), "with another key")
        has(s.run("library", "verify", path, "--key", "ours.sec", code=1), "no public key")
        forged = (s.path / path).read_bytes() + bytes(512)
        (s.path / path).write_bytes(forged)
        has(s.run("library", "verify", path, "--key", "ours.pub", code=1),
            "not the one that was signed")
        (s.path / (path + ".sig")).unlink()
        s.run("library", "verify", path)  # never needed to read it
        has(s.run("library", "verify", path, "--key", "ours.pub", code=1), "is not signed")


def what_a_difference_is():
    with Studio() as s:
        base = (template() + "let rate = 100C/h\nprivate let secret = 1\n"
                "body grey \"Grey\" { thickness 8mm }\n"
                "phase dry(t: Length) { ramp to 80C at 60C/h; soak 1h * (t / 8mm) }\n"
                "function half(r: Rate) -> Rate = r / 2\n"
                "firing f { body grey; phase p { follow dry(8mm); ramp to 900C at half(rate) } }\n")
        s.library("old", "a.b", "1.0.0", files={"m.fettle": base})

        def told(old, new, *said, step):
            s.library("new", "a.b", "9.0.0", files={"m.fettle": base.replace(old, new)})
            text = s.run("library", "difference", "old", "new")
            has(text, *said, f"asks for a {step} step" if step else "Nothing changed")
            return text

        told("let rate", "# a remark\nlet rate", "something else is written otherwise", step="patch")
        told("let rate", "let  rate", step="patch")
        told('"Grey"', '"Grey clay"', "words    body m.grey", "0 changed", step="patch")
        told("secret = 1", "secret = 2", step="patch")
        told("firing f", "let more = 2\nfiring f", "new      constant m.more", step="minor")
        told("= 1000C)", "= 1000C, soak_for: Duration = 0min)", "may be given `soak_for`",
             step="minor")
        told("= 1000C)", "= 900C)", "changed  template m.ash", "peak 900C, was 1000C", step="major")
        told("(peak: Temperature = 1000C)", "(peak: Temperature)", "needs `peak` to be given",
             step="major")
        told("let rate = 100C/h", "let rate = 90C/h", "changed  constant m.rate", "is 90C/h, was 100C/h",
             "changed  firing m.f", step="major")
        told("thickness 8mm", "thickness 9mm", "thickness is 9mm, was 8mm", step="major")
        told("soak 1h *", "soak 2h *", "changed  phase m.dry", "changed  firing m.f", step="major")
        told("r / 2", "r / 4", "changed  function m.half", step="major")
        text = told("body grey \"", "private body grey \"", "gone     body m.grey", "0 changed",
                    step="major")
        assert "firing m.f" not in text, text
        # What has to be keyed in, where the curve is the same.
        padded = ("controller pad { step_form duration_target; time_step 1min; "
                  "temperature_step 1C }\nkiln k { fuel electric; ceiling 1280C; controller pad }\n"
                  "firing g { kiln k; phase p { ramp to 604C at 100C/h } }\n")
        s.library("old2", "a.b", "1.0.0", files={"m.fettle": padded})
        s.library("new", "a.b", "9.0.0",
                  files={"m.fettle": padded.replace("temperature_step 1C", "temperature_step 5C")})
        has(s.run("library", "difference", "old2", "new"), "temperature_step is 5dC, was 1dC",
            "changed  firing m.g", "to key in as step 1: ramp 605C 351min, was: ramp 604C 351min")
        # The same result by another way is no change.
        text = told("half(rate)", "50C/h", "0 gone, 0 changed", step="patch")
        has(text, "1 firing was compiled on both sides")
        told("phase dry(t: Length) { ramp to 80C at 60C/h;",
             "phase dry(t: Length) { ramp to 80C at 120C/h / 2;", "0 gone, 0 changed", step="patch")
        # Between revisions of a repository.
        s.library("repo", "a.b", "1.0.0", files={"m.fettle": base})
        s.repository("repo", "1.0.0")
        s.write("repo/m.fettle", base.replace("1000C", "900C"))
        has(s.run("library", "difference", "v1.0.0", folder="repo", code=1), "peak 900C",
            "2.0.0 or higher; `library.fettle` says 1.0.0")
        has(s.run("library", "difference", "v1.0.0", "HEAD", folder="repo"), "Nothing changed")
        s.library("repo/deep/sub", "a.b", "1.0.0", files={"m.fettle": base})
        s.repository("repo", "1.0.1")
        s.write("repo/deep/sub/m.fettle", base.replace("1000C", "800C"))
        has(s.run("library", "difference", "HEAD", "repo/deep/sub", code=1), "peak 800C")
        has(s.run("library", "difference", "nothing", "HEAD", folder="repo", code=1),
            "neither a folder, nor an archive, nor a revision")


def what_it_does_to_mine():
    with Studio() as s:
        publish(s, "0.3.0")
        publish(s, "0.4.0", "900C")
        s.library("common", "harbour_row.common", "1.0.0",
                  ['tidewater.glazes 0.3 from "../shelf"'],
                  {"f.fettle": "use tidewater.glazes.ash (ash)\nfiring mugs = ash()\n"
                               "firing hot = ash(peak: 1200C)\n"})
        s.run("library", "resolve", "common")
        shelf = "shelf/tidewater.glazes-"
        text = s.run("library", "difference", shelf + "0.3.0.tar", shelf + "0.4.0.tar", "--for",
                     "common")
        has(text, "changed  firing f.mugs", "peak 900C, was 1000C", "1 changed", "1 the same")
        assert "f.hot" not in text
        s.library("tide", "tidewater.glazes", "0.5.0",
                  files={"ash.fettle": template().replace("ash", "ember")})
        text = s.run("library", "difference", shelf + "0.4.0.tar", "tide", "--for", "common")
        has(text, "compiles no longer", "has no `ash`")
        has(s.run("library", "difference", shelf + "0.3.0.tar", shelf + "0.4.0.tar", "--for",
                  "tide", code=1), "does not need tidewater.glazes")


CASES = (archives_on_a_shelf, an_archive_is_the_same_everywhere, what_is_not_published,
         damaged_archives, signatures, what_a_difference_is, what_it_does_to_mine, a_folder_is_locked, a_folder_of_libraries_is_a_workspace, private_names_stay_private,
         a_repository_at_a_tag, a_tag_that_moved, a_cache_that_was_tampered_with,
         a_lock_that_was_tampered_with, two_versions_at_once, an_older_one_where_only_that_fits,
         circles, nothing_fits, links_and_odd_names, many_at_once, a_killed_resolve)


def main():
    failures = 0
    for case in CASES:
        try:
            case()
            print(f"ok {case.__name__}", flush=True)
        except (AssertionError, OSError, subprocess.SubprocessError, StopIteration) as problem:
            failures += 1
            print(f"not ok {case.__name__}: {' '.join(str(problem).split())}", flush=True)
    return failures != 0


if __name__ == "__main__":
    sys.exit(main())

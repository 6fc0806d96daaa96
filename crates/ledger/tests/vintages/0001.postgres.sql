--
-- PostgreSQL database dump
--


-- Dumped from database version 15.20 (Debian 15.20-0+deb12u1)
-- Dumped by pg_dump version 15.20 (Debian 15.20-0+deb12u1)

SET statement_timeout = 0;
SET lock_timeout = 0;
SET idle_in_transaction_session_timeout = 0;
SET client_encoding = 'UTF8';
SET standard_conforming_strings = on;
SELECT pg_catalog.set_config('search_path', '', false);
SET check_function_bodies = false;
SET xmloption = content;
SET client_min_messages = warning;
SET row_security = off;

--
-- Name: append_only(); Type: FUNCTION; Schema: public; Owner: -
--

CREATE FUNCTION public.append_only() RETURNS trigger
    LANGUAGE plpgsql
    AS $$
BEGIN
    RAISE EXCEPTION 'the ledger is append-only: % on % is refused', TG_OP, TG_TABLE_NAME
        USING ERRCODE = 'integrity_constraint_violation';
END
$$;


SET default_tablespace = '';

SET default_table_access_method = heap;

--
-- Name: _sqlx_migrations; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public._sqlx_migrations (
    version bigint NOT NULL,
    description text NOT NULL,
    installed_on timestamp with time zone DEFAULT now() NOT NULL,
    success boolean NOT NULL,
    checksum bytea NOT NULL,
    execution_time bigint NOT NULL
);


--
-- Name: advices; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.advices (
    id bytea NOT NULL,
    visit bytea NOT NULL,
    text text NOT NULL COLLATE pg_catalog."C",
    answer text NOT NULL COLLATE pg_catalog."C",
    reply text COLLATE pg_catalog."C"
);


--
-- Name: calibrations; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.calibrations (
    id bytea NOT NULL,
    gauge bytea NOT NULL,
    spoke_kind text NOT NULL COLLATE pg_catalog."C",
    batch text COLLATE pg_catalog."C",
    taken bigint NOT NULL,
    taken_zone text NOT NULL COLLATE pg_catalog."C",
    operator text COLLATE pg_catalog."C",
    temperature_c double precision,
    rig bytea,
    note text COLLATE pg_catalog."C"
);


--
-- Name: claims; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.claims (
    id bytea NOT NULL,
    about bytea NOT NULL,
    text text NOT NULL COLLATE pg_catalog."C",
    quantity text NOT NULL COLLATE pg_catalog."C",
    at_most double precision,
    at_least double precision,
    of_what text COLLATE pg_catalog."C",
    dress text COLLATE pg_catalog."C",
    source text COLLATE pg_catalog."C"
);


--
-- Name: entry; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.entry (
    id bytea NOT NULL,
    kind text NOT NULL COLLATE pg_catalog."C",
    thing bytea NOT NULL,
    about bytea,
    at bigint NOT NULL,
    zone text NOT NULL COLLATE pg_catalog."C",
    by_whom text NOT NULL COLLATE pg_catalog."C",
    origin text NOT NULL COLLATE pg_catalog."C",
    supersedes bytea,
    why text COLLATE pg_catalog."C",
    CONSTRAINT entry_check CHECK (((supersedes IS NULL) = (why IS NULL))),
    CONSTRAINT entry_check1 CHECK (((supersedes IS NULL) = (thing = id)))
);


--
-- Name: find_labels; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.find_labels (
    label text NOT NULL COLLATE pg_catalog."C",
    wheel bytea NOT NULL
);


--
-- Name: find_parts; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.find_parts (
    entry bytea NOT NULL,
    maker text NOT NULL COLLATE pg_catalog."C",
    lot text NOT NULL COLLATE pg_catalog."C",
    serial text NOT NULL COLLATE pg_catalog."C"
);


--
-- Name: find_words; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.find_words (
    word text NOT NULL COLLATE pg_catalog."C",
    wheel bytea NOT NULL,
    entry bytea NOT NULL
);


--
-- Name: gauges; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.gauges (
    id bytea NOT NULL,
    label text NOT NULL COLLATE pg_catalog."C",
    file text NOT NULL COLLATE pg_catalog."C",
    note text COLLATE pg_catalog."C"
);


--
-- Name: kept; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.kept (
    hash text NOT NULL COLLATE pg_catalog."C",
    bytes bytea NOT NULL
);


--
-- Name: laps; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.laps (
    id bytea NOT NULL,
    visit bytea NOT NULL,
    takes text NOT NULL COLLATE pg_catalog."C",
    state text NOT NULL COLLATE pg_catalog."C",
    gauge bytea,
    calibration bytea,
    face text COLLATE pg_catalog."C",
    start bigint NOT NULL,
    counted text NOT NULL COLLATE pg_catalog."C",
    tyre text COLLATE pg_catalog."C",
    raw_pressure text COLLATE pg_catalog."C",
    pressure_pa double precision,
    temperature_c double precision,
    note text COLLATE pg_catalog."C"
);


--
-- Name: limits; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.limits (
    id bytea NOT NULL,
    about bytea NOT NULL,
    part text NOT NULL COLLATE pg_catalog."C",
    quantity text NOT NULL COLLATE pg_catalog."C",
    value double precision NOT NULL,
    unit text NOT NULL COLLATE pg_catalog."C",
    state text COLLATE pg_catalog."C",
    side text COLLATE pg_catalog."C",
    spoke_kind text COLLATE pg_catalog."C",
    source text NOT NULL COLLATE pg_catalog."C",
    noted text NOT NULL COLLATE pg_catalog."C"
);


--
-- Name: looks; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.looks (
    id bytea NOT NULL,
    visit bytea NOT NULL,
    spoke bigint,
    finding text NOT NULL COLLATE pg_catalog."C",
    photo text COLLATE pg_catalog."C"
);


--
-- Name: mechanics; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.mechanics (
    id bytea NOT NULL,
    name text NOT NULL COLLATE pg_catalog."C",
    initials text NOT NULL COLLATE pg_catalog."C",
    note text COLLATE pg_catalog."C"
);


--
-- Name: parts; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.parts (
    id bytea NOT NULL,
    wheel bytea NOT NULL,
    what text NOT NULL COLLATE pg_catalog."C",
    maker text COLLATE pg_catalog."C",
    model text COLLATE pg_catalog."C",
    lot text COLLATE pg_catalog."C",
    serial text COLLATE pg_catalog."C",
    note text COLLATE pg_catalog."C"
);


--
-- Name: photos; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.photos (
    id bytea NOT NULL,
    visit bytea NOT NULL,
    hash text NOT NULL COLLATE pg_catalog."C",
    media_type text NOT NULL COLLATE pg_catalog."C",
    length bigint NOT NULL,
    caption text COLLATE pg_catalog."C"
);


--
-- Name: plans; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.plans (
    id bytea NOT NULL,
    visit bytea NOT NULL,
    text text NOT NULL COLLATE pg_catalog."C"
);


--
-- Name: points; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.points (
    id bytea NOT NULL,
    calibration bytea NOT NULL,
    number bigint NOT NULL,
    raw_reading text NOT NULL COLLATE pg_catalog."C",
    reading double precision NOT NULL,
    raw_force text NOT NULL COLLATE pg_catalog."C",
    force_n double precision NOT NULL,
    direction text COLLATE pg_catalog."C",
    u_reading double precision,
    u_force_n double precision
);


--
-- Name: readings; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.readings (
    id bytea NOT NULL,
    lap bytea NOT NULL,
    number bigint NOT NULL,
    spoke bigint,
    angle_deg double precision,
    outcome text NOT NULL COLLATE pg_catalog."C",
    raw text NOT NULL COLLATE pg_catalog."C",
    value double precision
);


--
-- Name: reports; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.reports (
    id bytea NOT NULL,
    visit bytea NOT NULL,
    hash text NOT NULL COLLATE pg_catalog."C",
    title text NOT NULL COLLATE pg_catalog."C"
);


--
-- Name: rigs; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.rigs (
    id bytea NOT NULL,
    name text NOT NULL COLLATE pg_catalog."C",
    note text COLLATE pg_catalog."C"
);


--
-- Name: rod_checks; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.rod_checks (
    id bytea NOT NULL,
    gauge bytea NOT NULL,
    raw text NOT NULL COLLATE pg_catalog."C",
    reading double precision NOT NULL,
    expected double precision NOT NULL,
    tolerance double precision NOT NULL,
    temperature_c double precision,
    note text COLLATE pg_catalog."C"
);


--
-- Name: settings; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.settings (
    id bytea NOT NULL,
    key text NOT NULL COLLATE pg_catalog."C",
    value text NOT NULL COLLATE pg_catalog."C"
);


--
-- Name: turns; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.turns (
    id bytea NOT NULL,
    about bytea NOT NULL,
    spoke bigint NOT NULL,
    turns double precision NOT NULL,
    state text NOT NULL COLLATE pg_catalog."C"
);


--
-- Name: visits; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.visits (
    id bytea NOT NULL,
    wheel bytea NOT NULL,
    taken bigint NOT NULL,
    taken_zone text NOT NULL COLLATE pg_catalog."C",
    asked text COLLATE pg_catalog."C",
    bearing text COLLATE pg_catalog."C",
    not_checked text NOT NULL COLLATE pg_catalog."C",
    note text COLLATE pg_catalog."C"
);


--
-- Name: weighings; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.weighings (
    id bytea NOT NULL,
    visit bytea NOT NULL,
    dress text NOT NULL COLLATE pg_catalog."C",
    raw text NOT NULL COLLATE pg_catalog."C",
    mass_g double precision NOT NULL,
    step_g double precision
);


--
-- Name: wheels; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.wheels (
    id bytea NOT NULL,
    label text NOT NULL COLLATE pg_catalog."C",
    name text NOT NULL COLLATE pg_catalog."C",
    owner text COLLATE pg_catalog."C",
    contact text COLLATE pg_catalog."C",
    file text NOT NULL COLLATE pg_catalog."C",
    note text COLLATE pg_catalog."C"
);


--
-- Name: withdrawals; Type: TABLE; Schema: public; Owner: -
--

CREATE TABLE public.withdrawals (
    id bytea NOT NULL,
    of bytea NOT NULL,
    standing text NOT NULL COLLATE pg_catalog."C"
);


--
-- Data for Name: _sqlx_migrations; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public._sqlx_migrations VALUES (1, 'entries', '2026-11-25 14:39:56.162204+00', true, '\xce485e4e05f0b7135e97490a8e00638837d4bb8a97dbf99f7395ced847cee81e1ec4c5894c90a064e371e1afd14c5ab5', 410410419);


--
-- Data for Name: advices; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.advices VALUES ('\x019cb82ddf607f73b0d66b7f2a71e25d', '\x019cb825a2007e29b3742329fc4c04ab', 'replace the rim tape', 'refused', 'next month');


--
-- Data for Name: calibrations; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.calibrations VALUES ('\x019cb825a2007e29b3742326827dc74f', '\x019cb825a2007e29b374232544ceae55', 'bladed', 'spring delivery', 1772616060000000, 'Europe/Oslo', NULL, 17.5, '\x019cb825a2007e29b3742324c0a750a7', NULL);


--
-- Data for Name: claims; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.claims VALUES ('\x019cb825a2007e29b37423246849fba4', '\x019cb825a2007e29b374232341aac3c4', 'loses at most 8 % with a tyre on', 'tension_loss_percent', 8, NULL, NULL, NULL, NULL);


--
-- Data for Name: entry; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.entry VALUES ('\x019cb825a2007e29b37423221e5ff16f', 'mechanic', '\x019cb825a2007e29b37423221e5ff16f', NULL, 1772616000000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb825a2007e29b37423222f770745', 'setting', '\x019cb825a2007e29b37423222f770745', NULL, 1772616000000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb825a2007e29b374232341aac3c4', 'wheel', '\x019cb825a2007e29b374232341aac3c4', NULL, 1772616000000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb825a2007e29b3742323a720b751', 'part', '\x019cb825a2007e29b3742323a720b751', '\x019cb825a2007e29b374232341aac3c4', 1772616000000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb825a2007e29b3742324263de234', 'limit', '\x019cb825a2007e29b3742324263de234', '\x019cb825a2007e29b3742323a720b751', 1772616000000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb825a2007e29b37423246849fba4', 'claim', '\x019cb825a2007e29b37423246849fba4', '\x019cb825a2007e29b374232341aac3c4', 1772616000000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb825a2007e29b3742324c0a750a7', 'rig', '\x019cb825a2007e29b3742324c0a750a7', NULL, 1772616000000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb825a2007e29b374232544ceae55', 'gauge', '\x019cb825a2007e29b374232544ceae55', NULL, 1772616000000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb825a2007e29b37423258e433f27', 'rod_check', '\x019cb825a2007e29b37423258e433f27', '\x019cb825a2007e29b374232544ceae55', 1772616000000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb825a2007e29b3742326827dc74f', 'calibration', '\x019cb825a2007e29b3742326827dc74f', '\x019cb825a2007e29b374232544ceae55', 1772616000000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb825a2007e29b3742326b9f5ba8d', 'point', '\x019cb825a2007e29b3742326b9f5ba8d', '\x019cb825a2007e29b3742326827dc74f', 1772616000000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb825a2007e29b3742327ad7d86c1', 'point', '\x019cb825a2007e29b3742327ad7d86c1', '\x019cb825a2007e29b3742326827dc74f', 1772616000000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb825a2007e29b37423283f77eaa8', 'point', '\x019cb825a2007e29b37423283f77eaa8', '\x019cb825a2007e29b3742326827dc74f', 1772616000000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb825a2007e29b3742328ed3788f5', 'point', '\x019cb825a2007e29b3742328ed3788f5', '\x019cb825a2007e29b3742326827dc74f', 1772616000000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb825a2007e29b37423293a565fed', 'point', '\x019cb825a2007e29b37423293a565fed', '\x019cb825a2007e29b3742326827dc74f', 1772616000000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb825a2007e29b37423293f9ebe35', 'point', '\x019cb825a2007e29b37423293f9ebe35', '\x019cb825a2007e29b3742326827dc74f', 1772616000000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb825a2007e29b3742329fc4c04ab', 'visit', '\x019cb825a2007e29b3742329fc4c04ab', '\x019cb825a2007e29b374232341aac3c4', 1772616000000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb828612079b4b7d08f64220b158b', 'lap', '\x019cb828612079b4b7d08f64220b158b', '\x019cb825a2007e29b3742329fc4c04ab', 1772616180000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb8294b8070dea60abedb587916bd', 'reading', '\x019cb8294b8070dea60abedb587916bd', '\x019cb828612079b4b7d08f64220b158b', 1772616240000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb8294b8077bfb4ab3defaebaf8db', 'reading', '\x019cb8294b8077bfb4ab3defaebaf8db', '\x019cb828612079b4b7d08f64220b158b', 1772616240000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb8294b807f1fad088a219a6b07de', 'reading', '\x019cb8294b807f1fad088a219a6b07de', '\x019cb828612079b4b7d08f64220b158b', 1772616240000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb8294b807f1fad088a2246ab8481', 'reading', '\x019cb8294b807f1fad088a2246ab8481', '\x019cb828612079b4b7d08f64220b158b', 1772616240000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb8294b807f1fad088a22cd6d844c', 'reading', '\x019cb8294b807f1fad088a22cd6d844c', '\x019cb828612079b4b7d08f64220b158b', 1772616240000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb8294b807f1fad088a22f36016bf', 'reading', '\x019cb8294b807f1fad088a22f36016bf', '\x019cb828612079b4b7d08f64220b158b', 1772616240000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb8294b807f1fad088a23ab7dd07c', 'reading', '\x019cb8294b807f1fad088a23ab7dd07c', '\x019cb828612079b4b7d08f64220b158b', 1772616240000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb8294b807f1fad088a24555f10bd', 'reading', '\x019cb8294b807f1fad088a24555f10bd', '\x019cb828612079b4b7d08f64220b158b', 1772616240000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb82a35e0769691cd63ffafba306c', 'weighing', '\x019cb82a35e0769691cd63ffafba306c', '\x019cb825a2007e29b3742329fc4c04ab', 1772616300000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb82b2040748c8e9fbc0b3d8c72eb', 'photo', '\x019cb82b2040748c8e9fbc0b3d8c72eb', '\x019cb825a2007e29b3742329fc4c04ab', 1772616360000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb82b20407d6e8a3b52c96d9d3f36', 'look', '\x019cb82b20407d6e8a3b52c96d9d3f36', '\x019cb825a2007e29b3742329fc4c04ab', 1772616360000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb82c0aa07c148b7bd096100142d2', 'plan', '\x019cb82c0aa07c148b7bd096100142d2', '\x019cb825a2007e29b3742329fc4c04ab', 1772616420000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb82cf50079a2acf0cf337d9d7632', 'turn', '\x019cb82cf50079a2acf0cf337d9d7632', '\x019cb82c0aa07c148b7bd096100142d2', 1772616480000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb82cf50079a2acf0cf3400cbcea2', 'turn', '\x019cb82cf50079a2acf0cf3400cbcea2', '\x019cb825a2007e29b3742329fc4c04ab', 1772616480000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb82ddf607f73b0d66b7f2a71e25d', 'advice', '\x019cb82ddf607f73b0d66b7f2a71e25d', '\x019cb825a2007e29b3742329fc4c04ab', 1772616540000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb82ddf607f73b0d66b7f32d584a7', 'report', '\x019cb82ddf607f73b0d66b7f32d584a7', '\x019cb825a2007e29b3742329fc4c04ab', 1772616540000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb82ec9c0747e98a2db34539a665b', 'reading', '\x019cb8294b8077bfb4ab3defaebaf8db', '\x019cb828612079b4b7d08f64220b158b', 1772616600000000, 'Europe/Oslo', 'M', 'shop', '\x019cb8294b8077bfb4ab3defaebaf8db', 'blade was twisted');
INSERT INTO public.entry VALUES ('\x019cb82ec9c07e5f90926bee6357835c', 'reading', '\x019cb8294b807f1fad088a24555f10bd', '\x019cb828612079b4b7d08f64220b158b', 1772616600000000, 'Europe/Oslo', 'M', 'shop', '\x019cb8294b807f1fad088a24555f10bd', 'undone at the stand');
INSERT INTO public.entry VALUES ('\x019cb82ec9c07e5f90926bef19cc1667', 'reading', '\x019cb82ec9c07e5f90926bef19cc1667', '\x019cb828612079b4b7d08f64220b158b', 1772616600000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb82ec9c07e5f90926bef1a53788c', 'turn', '\x019cb82cf50079a2acf0cf3400cbcea2', '\x019cb825a2007e29b3742329fc4c04ab', 1772616600000000, 'Europe/Oslo', 'M', 'shop', '\x019cb82cf50079a2acf0cf3400cbcea2', 'wrong spoke');
INSERT INTO public.entry VALUES ('\x019cb82fb4207707af614e0630b7f386', 'wheel', '\x019cb82fb4207707af614e0630b7f386', NULL, 1772616660000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb82fb4207e1289fabbd7152274b8', 'visit', '\x019cb825a2007e29b3742329fc4c04ab', '\x019cb82fb4207707af614e0630b7f386', 1772616660000000, 'Europe/Oslo', 'M', 'shop', '\x019cb825a2007e29b3742329fc4c04ab', 'front, not rear');
INSERT INTO public.entry VALUES ('\x019cb8309e807c2587b2b89bc3212f84', 'visit', '\x019cb825a2007e29b3742329fc4c04ab', '\x019cb825a2007e29b374232341aac3c4', 1772616720000000, 'Europe/Oslo', 'M', 'shop', '\x019cb82fb4207e1289fabbd7152274b8', 'it was the rear after all');
INSERT INTO public.entry VALUES ('\x019cb83188e07c628ffea9faa4026a85', 'wheel', '\x019cb825a2007e29b374232341aac3c4', NULL, 1772616780000000, 'Europe/Oslo', 'M', 'shop', '\x019cb825a2007e29b374232341aac3c4', 'name');
INSERT INTO public.entry VALUES ('\x019cb837f18070bab11aa8ea768b59d2', 'rod_check', '\x019cb837f18070bab11aa8ea768b59d2', '\x019cb825a2007e29b374232544ceae55', 1772617200000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb838dbe0787fab0126f5aab62929', 'lap', '\x019cb838dbe0787fab0126f5aab62929', '\x019cb825a2007e29b3742329fc4c04ab', 1772617260000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb839c64076499760cf39a9f4374c', 'rod_check', '\x019cb839c64076499760cf39a9f4374c', '\x019cb825a2007e29b374232544ceae55', 1772617320000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb83ab0a070e484f563d85d6006a3', 'lap', '\x019cb83ab0a070e484f563d85d6006a3', '\x019cb825a2007e29b3742329fc4c04ab', 1772617380000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb84119407c3fb96c96a12ef147ce', 'wheel', '\x019cb84119407c3fb96c96a12ef147ce', NULL, 1772617800000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb84119407c3fb96c96a20caa6e2e', 'part', '\x019cb84119407c3fb96c96a20caa6e2e', '\x019cb84119407c3fb96c96a12ef147ce', 1772617800000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb84119407e0287203da269d33098', 'wheel', '\x019cb84119407e0287203da269d33098', NULL, 1772617800000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb84119407e0287203da2ebee5317', 'part', '\x019cb84119407e0287203da2ebee5317', '\x019cb84119407e0287203da269d33098', 1772617800000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb84119407e0287203da3f13c97c3', 'wheel', '\x019cb84119407e0287203da3f13c97c3', NULL, 1772617800000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb84119407e0287203da458982489', 'part', '\x019cb84119407e0287203da458982489', '\x019cb84119407e0287203da3f13c97c3', 1772617800000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb84203a07ee5895ed4008a4f99aa', 'visit', '\x019cb84203a07ee5895ed4008a4f99aa', '\x019cb84119407c3fb96c96a12ef147ce', 1772617860000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb84a4100774eb245e8d04dd210ba', 'wheel', '\x019cb84a4100774eb245e8d04dd210ba', NULL, 1772618400000000, 'Europe/Oslo', 'M', 'demo', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb84a41007ee2a98562e443cb79d3', 'visit', '\x019cb84a41007ee2a98562e443cb79d3', '\x019cb84a4100774eb245e8d04dd210ba', 1772618400000000, 'Europe/Oslo', 'M', 'demo', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb84a41007ee2a98562e4e1856d87', 'part', '\x019cb84a41007ee2a98562e4e1856d87', '\x019cb84a4100774eb245e8d04dd210ba', 1772618400000000, 'Europe/Oslo', 'M', 'demo', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb84b2b60767cba5481178794c79e', 'withdrawal', '\x019cb84b2b60767cba5481178794c79e', '\x019cb84a4100774eb245e8d04dd210ba', 1772618460000000, 'Europe/Oslo', 'M', 'shop', NULL, NULL);
INSERT INTO public.entry VALUES ('\x019cb84c15c07204b3d4a0e139238cea', 'withdrawal', '\x019cb84b2b60767cba5481178794c79e', '\x019cb84a4100774eb245e8d04dd210ba', 1772618520000000, 'Europe/Oslo', 'M', 'shop', '\x019cb84b2b60767cba5481178794c79e', 'shown again');
INSERT INTO public.entry VALUES ('\x019cb84d002070559ec264ecb7f19c0d', 'withdrawal', '\x019cb84b2b60767cba5481178794c79e', '\x019cb84a4100774eb245e8d04dd210ba', 1772618580000000, 'Europe/Oslo', 'M', 'shop', '\x019cb84c15c07204b3d4a0e139238cea', 'and gone');


--
-- Data for Name: find_labels; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.find_labels VALUES ('YKXN5X', '\x019cb825a2007e29b374232341aac3c4');
INSERT INTO public.find_labels VALUES ('6DL5N5', '\x019cb82fb4207707af614e0630b7f386');
INSERT INTO public.find_labels VALUES ('8TU77R', '\x019cb84119407c3fb96c96a12ef147ce');
INSERT INTO public.find_labels VALUES ('T38T94', '\x019cb84119407e0287203da269d33098');
INSERT INTO public.find_labels VALUES ('VWLVJ5', '\x019cb84119407e0287203da3f13c97c3');
INSERT INTO public.find_labels VALUES ('QFNHB3', '\x019cb84a4100774eb245e8d04dd210ba');


--
-- Data for Name: find_parts; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.find_parts VALUES ('\x019cb825a2007e29b3742323a720b751', 'fjordline', 'l00000000000000000007', 'fl-00000000000000000042');
INSERT INTO public.find_parts VALUES ('\x019cb84119407c3fb96c96a20caa6e2e', 'fjordline', 'l00000000000000000007', 'fl-00000000000000000009');
INSERT INTO public.find_parts VALUES ('\x019cb84119407e0287203da2ebee5317', 'fjordline', 'l00000000000000000007', 'fl-00000000000000000100');
INSERT INTO public.find_parts VALUES ('\x019cb84119407e0287203da458982489', 'fjordline', 'l00000000000000000007', '');
INSERT INTO public.find_parts VALUES ('\x019cb84a41007ee2a98562e4e1856d87', 'fjordline', 'l00000000000000000007', 'fl-00000000000000000050');


--
-- Data for Name: find_words; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.find_words VALUES ('ines', '\x019cb825a2007e29b374232341aac3c4', '\x019cb825a2007e29b374232341aac3c4');
INSERT INTO public.find_words VALUES ('maran', '\x019cb825a2007e29b374232341aac3c4', '\x019cb825a2007e29b374232341aac3c4');
INSERT INTO public.find_words VALUES ('rear', '\x019cb825a2007e29b374232341aac3c4', '\x019cb825a2007e29b374232341aac3c4');
INSERT INTO public.find_words VALUES ('slipway', '\x019cb825a2007e29b374232341aac3c4', '\x019cb825a2007e29b374232341aac3c4');
INSERT INTO public.find_words VALUES ('ykxn5x', '\x019cb825a2007e29b374232341aac3c4', '\x019cb825a2007e29b374232341aac3c4');
INSERT INTO public.find_words VALUES ('0042', '\x019cb825a2007e29b374232341aac3c4', '\x019cb825a2007e29b3742323a720b751');
INSERT INTO public.find_words VALUES ('45', '\x019cb825a2007e29b374232341aac3c4', '\x019cb825a2007e29b3742323a720b751');
INSERT INTO public.find_words VALUES ('breakwater', '\x019cb825a2007e29b374232341aac3c4', '\x019cb825a2007e29b3742323a720b751');
INSERT INTO public.find_words VALUES ('fjordline', '\x019cb825a2007e29b374232341aac3c4', '\x019cb825a2007e29b3742323a720b751');
INSERT INTO public.find_words VALUES ('fl', '\x019cb825a2007e29b374232341aac3c4', '\x019cb825a2007e29b3742323a720b751');
INSERT INTO public.find_words VALUES ('l7', '\x019cb825a2007e29b374232341aac3c4', '\x019cb825a2007e29b3742323a720b751');
INSERT INTO public.find_words VALUES ('6dl5n5', '\x019cb82fb4207707af614e0630b7f386', '\x019cb82fb4207707af614e0630b7f386');
INSERT INTO public.find_words VALUES ('front', '\x019cb82fb4207707af614e0630b7f386', '\x019cb82fb4207707af614e0630b7f386');
INSERT INTO public.find_words VALUES ('ines', '\x019cb82fb4207707af614e0630b7f386', '\x019cb82fb4207707af614e0630b7f386');
INSERT INTO public.find_words VALUES ('maran', '\x019cb82fb4207707af614e0630b7f386', '\x019cb82fb4207707af614e0630b7f386');
INSERT INTO public.find_words VALUES ('slipway', '\x019cb82fb4207707af614e0630b7f386', '\x019cb82fb4207707af614e0630b7f386');
INSERT INTO public.find_words VALUES ('ines', '\x019cb825a2007e29b374232341aac3c4', '\x019cb83188e07c628ffea9faa4026a85');
INSERT INTO public.find_words VALUES ('maran', '\x019cb825a2007e29b374232341aac3c4', '\x019cb83188e07c628ffea9faa4026a85');
INSERT INTO public.find_words VALUES ('rear', '\x019cb825a2007e29b374232341aac3c4', '\x019cb83188e07c628ffea9faa4026a85');
INSERT INTO public.find_words VALUES ('red', '\x019cb825a2007e29b374232341aac3c4', '\x019cb83188e07c628ffea9faa4026a85');
INSERT INTO public.find_words VALUES ('slipway', '\x019cb825a2007e29b374232341aac3c4', '\x019cb83188e07c628ffea9faa4026a85');
INSERT INTO public.find_words VALUES ('ykxn5x', '\x019cb825a2007e29b374232341aac3c4', '\x019cb83188e07c628ffea9faa4026a85');
INSERT INTO public.find_words VALUES ('8tu77r', '\x019cb84119407c3fb96c96a12ef147ce', '\x019cb84119407c3fb96c96a12ef147ce');
INSERT INTO public.find_words VALUES ('front', '\x019cb84119407c3fb96c96a12ef147ce', '\x019cb84119407c3fb96c96a12ef147ce');
INSERT INTO public.find_words VALUES ('oda', '\x019cb84119407c3fb96c96a12ef147ce', '\x019cb84119407c3fb96c96a12ef147ce');
INSERT INTO public.find_words VALUES ('45', '\x019cb84119407c3fb96c96a12ef147ce', '\x019cb84119407c3fb96c96a20caa6e2e');
INSERT INTO public.find_words VALUES ('9', '\x019cb84119407c3fb96c96a12ef147ce', '\x019cb84119407c3fb96c96a20caa6e2e');
INSERT INTO public.find_words VALUES ('breakwater', '\x019cb84119407c3fb96c96a12ef147ce', '\x019cb84119407c3fb96c96a20caa6e2e');
INSERT INTO public.find_words VALUES ('fjordline', '\x019cb84119407c3fb96c96a12ef147ce', '\x019cb84119407c3fb96c96a20caa6e2e');
INSERT INTO public.find_words VALUES ('fl', '\x019cb84119407c3fb96c96a12ef147ce', '\x019cb84119407c3fb96c96a20caa6e2e');
INSERT INTO public.find_words VALUES ('l7', '\x019cb84119407c3fb96c96a12ef147ce', '\x019cb84119407c3fb96c96a20caa6e2e');
INSERT INTO public.find_words VALUES ('front', '\x019cb84119407e0287203da269d33098', '\x019cb84119407e0287203da269d33098');
INSERT INTO public.find_words VALUES ('per', '\x019cb84119407e0287203da269d33098', '\x019cb84119407e0287203da269d33098');
INSERT INTO public.find_words VALUES ('t38t94', '\x019cb84119407e0287203da269d33098', '\x019cb84119407e0287203da269d33098');
INSERT INTO public.find_words VALUES ('100', '\x019cb84119407e0287203da269d33098', '\x019cb84119407e0287203da2ebee5317');
INSERT INTO public.find_words VALUES ('45', '\x019cb84119407e0287203da269d33098', '\x019cb84119407e0287203da2ebee5317');
INSERT INTO public.find_words VALUES ('breakwater', '\x019cb84119407e0287203da269d33098', '\x019cb84119407e0287203da2ebee5317');
INSERT INTO public.find_words VALUES ('fjordline', '\x019cb84119407e0287203da269d33098', '\x019cb84119407e0287203da2ebee5317');
INSERT INTO public.find_words VALUES ('fl', '\x019cb84119407e0287203da269d33098', '\x019cb84119407e0287203da2ebee5317');
INSERT INTO public.find_words VALUES ('l7', '\x019cb84119407e0287203da269d33098', '\x019cb84119407e0287203da2ebee5317');
INSERT INTO public.find_words VALUES ('front', '\x019cb84119407e0287203da3f13c97c3', '\x019cb84119407e0287203da3f13c97c3');
INSERT INTO public.find_words VALUES ('uno', '\x019cb84119407e0287203da3f13c97c3', '\x019cb84119407e0287203da3f13c97c3');
INSERT INTO public.find_words VALUES ('vwlvj5', '\x019cb84119407e0287203da3f13c97c3', '\x019cb84119407e0287203da3f13c97c3');
INSERT INTO public.find_words VALUES ('45', '\x019cb84119407e0287203da3f13c97c3', '\x019cb84119407e0287203da458982489');
INSERT INTO public.find_words VALUES ('breakwater', '\x019cb84119407e0287203da3f13c97c3', '\x019cb84119407e0287203da458982489');
INSERT INTO public.find_words VALUES ('fjordline', '\x019cb84119407e0287203da3f13c97c3', '\x019cb84119407e0287203da458982489');
INSERT INTO public.find_words VALUES ('l7', '\x019cb84119407e0287203da3f13c97c3', '\x019cb84119407e0287203da458982489');
INSERT INTO public.find_words VALUES ('lantern', '\x019cb84a4100774eb245e8d04dd210ba', '\x019cb84a4100774eb245e8d04dd210ba');
INSERT INTO public.find_words VALUES ('nobody', '\x019cb84a4100774eb245e8d04dd210ba', '\x019cb84a4100774eb245e8d04dd210ba');
INSERT INTO public.find_words VALUES ('qfnhb3', '\x019cb84a4100774eb245e8d04dd210ba', '\x019cb84a4100774eb245e8d04dd210ba');
INSERT INTO public.find_words VALUES ('rear', '\x019cb84a4100774eb245e8d04dd210ba', '\x019cb84a4100774eb245e8d04dd210ba');
INSERT INTO public.find_words VALUES ('45', '\x019cb84a4100774eb245e8d04dd210ba', '\x019cb84a41007ee2a98562e4e1856d87');
INSERT INTO public.find_words VALUES ('50', '\x019cb84a4100774eb245e8d04dd210ba', '\x019cb84a41007ee2a98562e4e1856d87');
INSERT INTO public.find_words VALUES ('breakwater', '\x019cb84a4100774eb245e8d04dd210ba', '\x019cb84a41007ee2a98562e4e1856d87');
INSERT INTO public.find_words VALUES ('fjordline', '\x019cb84a4100774eb245e8d04dd210ba', '\x019cb84a41007ee2a98562e4e1856d87');
INSERT INTO public.find_words VALUES ('fl', '\x019cb84a4100774eb245e8d04dd210ba', '\x019cb84a41007ee2a98562e4e1856d87');
INSERT INTO public.find_words VALUES ('l7', '\x019cb84a4100774eb245e8d04dd210ba', '\x019cb84a41007ee2a98562e4e1856d87');


--
-- Data for Name: gauges; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.gauges VALUES ('\x019cb825a2007e29b374232544ceae55', 'G2', 'format = 1
label = "G2"
', NULL);


--
-- Data for Name: kept; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.kept VALUES ('4878c015a761f43c8e3dfbffb9393aaf6f8c3abd1cbae6487d8d68409ce22d12', '\xffd82061206e6970706c652c2077686974652077697468206372757374');
INSERT INTO public.kept VALUES ('97e2d2331e3b84c1ad5eaa168d6ac0135e19f5f268c369f8c0c724f9b20b8daf', '\x3c21646f63747970652068746d6c3e3c7469746c653e536c697077617920726561723c2f7469746c653e');


--
-- Data for Name: laps; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.laps VALUES ('\x019cb828612079b4b7d08f64220b158b', '\x019cb825a2007e29b3742329fc4c04ab', 'reading', 'tyred', '\x019cb825a2007e29b374232544ceae55', '\x019cb825a2007e29b3742326827dc74f', NULL, 3, 'down', '28 mm, slick', '6,0 bar', 600000, 18.25, NULL);
INSERT INTO public.laps VALUES ('\x019cb838dbe0787fab0126f5aab62929', '\x019cb825a2007e29b3742329fc4c04ab', 'reading', 'tyred', '\x019cb825a2007e29b374232544ceae55', NULL, NULL, 3, 'down', '28 mm, slick', '6,0 bar', 600000, 18.25, NULL);
INSERT INTO public.laps VALUES ('\x019cb83ab0a070e484f563d85d6006a3', '\x019cb825a2007e29b3742329fc4c04ab', 'reading', 'tyred', '\x019cb825a2007e29b374232544ceae55', NULL, NULL, 3, 'down', '28 mm, slick', '6,0 bar', 600000, 18.25, NULL);


--
-- Data for Name: limits; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.limits VALUES ('\x019cb825a2007e29b3742324263de234', '\x019cb825a2007e29b3742323a720b751', 'rim', 'tension', 120, 'kgf', 'bare', NULL, NULL, 'sticker on the rim', '2026-03-01');


--
-- Data for Name: looks; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.looks VALUES ('\x019cb82b20407d6e8a3b52c96d9d3f36', '\x019cb825a2007e29b3742329fc4c04ab', 7, 'white crust at the nipple', '4878c015a761f43c8e3dfbffb9393aaf6f8c3abd1cbae6487d8d68409ce22d12');


--
-- Data for Name: mechanics; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.mechanics VALUES ('\x019cb825a2007e29b37423221e5ff16f', 'Mara Tolle', 'M', NULL);


--
-- Data for Name: parts; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.parts VALUES ('\x019cb825a2007e29b3742323a720b751', '\x019cb825a2007e29b374232341aac3c4', 'rim', 'Fjordline', 'Breakwater 45', 'L7', 'FL-0042', NULL);
INSERT INTO public.parts VALUES ('\x019cb84119407c3fb96c96a20caa6e2e', '\x019cb84119407c3fb96c96a12ef147ce', 'rim', 'fjordline ', 'Breakwater 45', 'L7', 'FL-9', NULL);
INSERT INTO public.parts VALUES ('\x019cb84119407e0287203da2ebee5317', '\x019cb84119407e0287203da269d33098', 'rim', 'fjordline ', 'Breakwater 45', 'L7', 'FL-100', NULL);
INSERT INTO public.parts VALUES ('\x019cb84119407e0287203da458982489', '\x019cb84119407e0287203da3f13c97c3', 'rim', 'fjordline ', 'Breakwater 45', 'L7', NULL, NULL);
INSERT INTO public.parts VALUES ('\x019cb84a41007ee2a98562e4e1856d87', '\x019cb84a4100774eb245e8d04dd210ba', 'rim', 'Fjordline', 'Breakwater 45', 'L7', 'FL-50', NULL);


--
-- Data for Name: photos; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.photos VALUES ('\x019cb82b2040748c8e9fbc0b3d8c72eb', '\x019cb825a2007e29b3742329fc4c04ab', '4878c015a761f43c8e3dfbffb9393aaf6f8c3abd1cbae6487d8d68409ce22d12', 'image/jpeg', 29, NULL);


--
-- Data for Name: plans; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.plans VALUES ('\x019cb82c0aa07c148b7bd096100142d2', '\x019cb825a2007e29b3742329fc4c04ab', 'spoke 3: 1/4');


--
-- Data for Name: points; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.points VALUES ('\x019cb825a2007e29b3742326b9f5ba8d', '\x019cb825a2007e29b3742326827dc74f', 1, '19,5', 19.5, '60 kgf', 588.399, 'up', NULL, 0.1);
INSERT INTO public.points VALUES ('\x019cb825a2007e29b3742327ad7d86c1', '\x019cb825a2007e29b3742326827dc74f', 2, '20,5', 20.5, '80 kgf', 784.5319999999999, 'up', NULL, 0.1);
INSERT INTO public.points VALUES ('\x019cb825a2007e29b37423283f77eaa8', '\x019cb825a2007e29b3742326827dc74f', 3, '21,5', 21.5, '100 kgf', 980.665, 'up', NULL, 0.1);
INSERT INTO public.points VALUES ('\x019cb825a2007e29b3742328ed3788f5', '\x019cb825a2007e29b3742326827dc74f', 4, '22,5', 22.5, '120 kgf', 1176.798, 'up', NULL, 0.1);
INSERT INTO public.points VALUES ('\x019cb825a2007e29b37423293a565fed', '\x019cb825a2007e29b3742326827dc74f', 5, '23,5', 23.5, '140 kgf', 1372.9309999999998, 'up', NULL, 0.1);
INSERT INTO public.points VALUES ('\x019cb825a2007e29b37423293f9ebe35', '\x019cb825a2007e29b3742326827dc74f', 6, '24,5', 24.5, '160 kgf', 1569.0639999999999, 'up', NULL, 0.1);


--
-- Data for Name: readings; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.readings VALUES ('\x019cb8294b8070dea60abedb587916bd', '\x019cb828612079b4b7d08f64220b158b', 1, 1, NULL, 'taken', '22,5', 22.5);
INSERT INTO public.readings VALUES ('\x019cb8294b8077bfb4ab3defaebaf8db', '\x019cb828612079b4b7d08f64220b158b', 2, 2, NULL, 'taken', '22,5', 22.5);
INSERT INTO public.readings VALUES ('\x019cb8294b807f1fad088a219a6b07de', '\x019cb828612079b4b7d08f64220b158b', 3, 3, NULL, 'taken', '22,5', 22.5);
INSERT INTO public.readings VALUES ('\x019cb8294b807f1fad088a2246ab8481', '\x019cb828612079b4b7d08f64220b158b', 4, 4, NULL, 'taken', '22,5', 22.5);
INSERT INTO public.readings VALUES ('\x019cb8294b807f1fad088a22cd6d844c', '\x019cb828612079b4b7d08f64220b158b', 5, 5, NULL, 'taken', '22,5', 22.5);
INSERT INTO public.readings VALUES ('\x019cb8294b807f1fad088a22f36016bf', '\x019cb828612079b4b7d08f64220b158b', 6, 6, NULL, 'taken', '22,5', 22.5);
INSERT INTO public.readings VALUES ('\x019cb8294b807f1fad088a23ab7dd07c', '\x019cb828612079b4b7d08f64220b158b', 7, 7, NULL, 'taken', '22,5', 22.5);
INSERT INTO public.readings VALUES ('\x019cb8294b807f1fad088a24555f10bd', '\x019cb828612079b4b7d08f64220b158b', 8, 8, NULL, 'taken', '22,5', 22.5);
INSERT INTO public.readings VALUES ('\x019cb82ec9c0747e98a2db34539a665b', '\x019cb828612079b4b7d08f64220b158b', 2, 2, NULL, 'taken', '23', 23);
INSERT INTO public.readings VALUES ('\x019cb82ec9c07e5f90926bee6357835c', '\x019cb828612079b4b7d08f64220b158b', 8, 8, NULL, 'undone', '22,5', 22.5);
INSERT INTO public.readings VALUES ('\x019cb82ec9c07e5f90926bef19cc1667', '\x019cb828612079b4b7d08f64220b158b', 9, 9, NULL, 'skipped', '', NULL);


--
-- Data for Name: reports; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.reports VALUES ('\x019cb82ddf607f73b0d66b7f32d584a7', '\x019cb825a2007e29b3742329fc4c04ab', '97e2d2331e3b84c1ad5eaa168d6ac0135e19f5f268c369f8c0c724f9b20b8daf', 'Slipway rear');


--
-- Data for Name: rigs; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.rigs VALUES ('\x019cb825a2007e29b3742324c0a750a7', 'the screw by the window', NULL);


--
-- Data for Name: rod_checks; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.rod_checks VALUES ('\x019cb825a2007e29b37423258e433f27', '\x019cb825a2007e29b374232544ceae55', '25.25', 25.25, 25, 0.5, NULL, NULL);
INSERT INTO public.rod_checks VALUES ('\x019cb837f18070bab11aa8ea768b59d2', '\x019cb825a2007e29b374232544ceae55', '26', 26, 25, 0.5, NULL, NULL);
INSERT INTO public.rod_checks VALUES ('\x019cb839c64076499760cf39a9f4374c', '\x019cb825a2007e29b374232544ceae55', '25', 25, 25, 0.5, NULL, NULL);


--
-- Data for Name: settings; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.settings VALUES ('\x019cb825a2007e29b37423222f770745', 'decide_at', '0.95');


--
-- Data for Name: turns; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.turns VALUES ('\x019cb82cf50079a2acf0cf337d9d7632', '\x019cb82c0aa07c148b7bd096100142d2', 3, 0.25, 'done');
INSERT INTO public.turns VALUES ('\x019cb82cf50079a2acf0cf3400cbcea2', '\x019cb825a2007e29b3742329fc4c04ab', 5, -0.125, 'done');
INSERT INTO public.turns VALUES ('\x019cb82ec9c07e5f90926bef1a53788c', '\x019cb825a2007e29b3742329fc4c04ab', 5, -0.125, 'undone');


--
-- Data for Name: visits; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.visits VALUES ('\x019cb825a2007e29b3742329fc4c04ab', '\x019cb825a2007e29b374232341aac3c4', 1772616120000000, '+01:00', 'Does it keep its tension with the new tyre?', 'none', 'inner layers
fit of the\nbearings \\ axle
', NULL);
INSERT INTO public.visits VALUES ('\x019cb82fb4207e1289fabbd7152274b8', '\x019cb82fb4207707af614e0630b7f386', 1772616120000000, '+01:00', 'Does it keep its tension with the new tyre?', 'none', 'inner layers
fit of the\nbearings \\ axle
', NULL);
INSERT INTO public.visits VALUES ('\x019cb8309e807c2587b2b89bc3212f84', '\x019cb825a2007e29b374232341aac3c4', 1772616120000000, '+01:00', 'Does it keep its tension with the new tyre?', 'none', 'inner layers
fit of the\nbearings \\ axle
', NULL);
INSERT INTO public.visits VALUES ('\x019cb84203a07ee5895ed4008a4f99aa', '\x019cb84119407c3fb96c96a12ef147ce', 1772617860000000, '+01:00', 'Does it keep its tension with the new tyre?', 'none', 'inner layers
fit of the\nbearings \\ axle
', NULL);
INSERT INTO public.visits VALUES ('\x019cb84a41007ee2a98562e443cb79d3', '\x019cb84a4100774eb245e8d04dd210ba', 1772618400000000, '+01:00', 'Does it keep its tension with the new tyre?', 'none', 'inner layers
fit of the\nbearings \\ axle
', NULL);


--
-- Data for Name: weighings; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.weighings VALUES ('\x019cb82a35e0769691cd63ffafba306c', '\x019cb825a2007e29b3742329fc4c04ab', 'tape
valve
', '812', 812, 1);


--
-- Data for Name: wheels; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.wheels VALUES ('\x019cb825a2007e29b374232341aac3c4', 'YKXN5X', 'Slipway rear', 'Ines Maran', 'by the slip, after six', 'format = 1
name = "rear"
# as it came, with a tab	 and ü
', NULL);
INSERT INTO public.wheels VALUES ('\x019cb82fb4207707af614e0630b7f386', '6DL5N5', 'Slipway front', 'Ines Maran', 'by the slip, after six', 'format = 1
name = "rear"
# as it came, with a tab	 and ü
', NULL);
INSERT INTO public.wheels VALUES ('\x019cb83188e07c628ffea9faa4026a85', 'YKXN5X', 'Slipway rear, red', 'Ines Maran', 'by the slip, after six', 'format = 1
name = "rear"
# as it came, with a tab	 and ü
', NULL);
INSERT INTO public.wheels VALUES ('\x019cb84119407c3fb96c96a12ef147ce', '8TU77R', 'front', 'Oda', 'by the slip, after six', 'format = 1
name = "rear"
# as it came, with a tab	 and ü
', NULL);
INSERT INTO public.wheels VALUES ('\x019cb84119407e0287203da269d33098', 'T38T94', 'front', 'Per', 'by the slip, after six', 'format = 1
name = "rear"
# as it came, with a tab	 and ü
', NULL);
INSERT INTO public.wheels VALUES ('\x019cb84119407e0287203da3f13c97c3', 'VWLVJ5', 'front', 'Uno', 'by the slip, after six', 'format = 1
name = "rear"
# as it came, with a tab	 and ü
', NULL);
INSERT INTO public.wheels VALUES ('\x019cb84a4100774eb245e8d04dd210ba', 'QFNHB3', 'Lantern rear', 'Nobody', 'by the slip, after six', 'format = 1
name = "rear"
# as it came, with a tab	 and ü
', NULL);


--
-- Data for Name: withdrawals; Type: TABLE DATA; Schema: public; Owner: -
--

INSERT INTO public.withdrawals VALUES ('\x019cb84b2b60767cba5481178794c79e', '\x019cb84a4100774eb245e8d04dd210ba', 'withdrawn');
INSERT INTO public.withdrawals VALUES ('\x019cb84c15c07204b3d4a0e139238cea', '\x019cb84a4100774eb245e8d04dd210ba', 'restored');
INSERT INTO public.withdrawals VALUES ('\x019cb84d002070559ec264ecb7f19c0d', '\x019cb84a4100774eb245e8d04dd210ba', 'withdrawn');


--
-- Name: _sqlx_migrations _sqlx_migrations_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public._sqlx_migrations
    ADD CONSTRAINT _sqlx_migrations_pkey PRIMARY KEY (version);


--
-- Name: advices advices_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.advices
    ADD CONSTRAINT advices_pkey PRIMARY KEY (id);


--
-- Name: calibrations calibrations_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.calibrations
    ADD CONSTRAINT calibrations_pkey PRIMARY KEY (id);


--
-- Name: claims claims_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.claims
    ADD CONSTRAINT claims_pkey PRIMARY KEY (id);


--
-- Name: entry entry_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.entry
    ADD CONSTRAINT entry_pkey PRIMARY KEY (id);


--
-- Name: find_labels find_labels_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.find_labels
    ADD CONSTRAINT find_labels_pkey PRIMARY KEY (label);


--
-- Name: find_parts find_parts_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.find_parts
    ADD CONSTRAINT find_parts_pkey PRIMARY KEY (entry);


--
-- Name: find_words find_words_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.find_words
    ADD CONSTRAINT find_words_pkey PRIMARY KEY (word, wheel, entry);


--
-- Name: gauges gauges_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.gauges
    ADD CONSTRAINT gauges_pkey PRIMARY KEY (id);


--
-- Name: kept kept_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.kept
    ADD CONSTRAINT kept_pkey PRIMARY KEY (hash);


--
-- Name: laps laps_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.laps
    ADD CONSTRAINT laps_pkey PRIMARY KEY (id);


--
-- Name: limits limits_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.limits
    ADD CONSTRAINT limits_pkey PRIMARY KEY (id);


--
-- Name: looks looks_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.looks
    ADD CONSTRAINT looks_pkey PRIMARY KEY (id);


--
-- Name: mechanics mechanics_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.mechanics
    ADD CONSTRAINT mechanics_pkey PRIMARY KEY (id);


--
-- Name: parts parts_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.parts
    ADD CONSTRAINT parts_pkey PRIMARY KEY (id);


--
-- Name: photos photos_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.photos
    ADD CONSTRAINT photos_pkey PRIMARY KEY (id);


--
-- Name: plans plans_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.plans
    ADD CONSTRAINT plans_pkey PRIMARY KEY (id);


--
-- Name: points points_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.points
    ADD CONSTRAINT points_pkey PRIMARY KEY (id);


--
-- Name: readings readings_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.readings
    ADD CONSTRAINT readings_pkey PRIMARY KEY (id);


--
-- Name: reports reports_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.reports
    ADD CONSTRAINT reports_pkey PRIMARY KEY (id);


--
-- Name: rigs rigs_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.rigs
    ADD CONSTRAINT rigs_pkey PRIMARY KEY (id);


--
-- Name: rod_checks rod_checks_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.rod_checks
    ADD CONSTRAINT rod_checks_pkey PRIMARY KEY (id);


--
-- Name: settings settings_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.settings
    ADD CONSTRAINT settings_pkey PRIMARY KEY (id);


--
-- Name: turns turns_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.turns
    ADD CONSTRAINT turns_pkey PRIMARY KEY (id);


--
-- Name: visits visits_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.visits
    ADD CONSTRAINT visits_pkey PRIMARY KEY (id);


--
-- Name: weighings weighings_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.weighings
    ADD CONSTRAINT weighings_pkey PRIMARY KEY (id);


--
-- Name: wheels wheels_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.wheels
    ADD CONSTRAINT wheels_pkey PRIMARY KEY (id);


--
-- Name: withdrawals withdrawals_pkey; Type: CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.withdrawals
    ADD CONSTRAINT withdrawals_pkey PRIMARY KEY (id);


--
-- Name: entry_about; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX entry_about ON public.entry USING btree (about, id) WHERE (about IS NOT NULL);


--
-- Name: entry_about_nothing; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX entry_about_nothing ON public.entry USING btree (kind, id) WHERE (about IS NULL);


--
-- Name: entry_demo; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX entry_demo ON public.entry USING btree (id) WHERE ((origin = 'demo'::text) AND (about IS NULL));


--
-- Name: entry_later_versions; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX entry_later_versions ON public.entry USING btree (thing, id) WHERE (supersedes IS NOT NULL);


--
-- Name: entry_superseded_once; Type: INDEX; Schema: public; Owner: -
--

CREATE UNIQUE INDEX entry_superseded_once ON public.entry USING btree (supersedes) WHERE (supersedes IS NOT NULL);


--
-- Name: find_parts_lot; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX find_parts_lot ON public.find_parts USING btree (maker, lot);


--
-- Name: find_parts_serial; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX find_parts_serial ON public.find_parts USING btree (maker, serial);


--
-- Name: find_words_of_wheel; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX find_words_of_wheel ON public.find_words USING btree (wheel, word);


--
-- Name: laps_gauge; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX laps_gauge ON public.laps USING btree (gauge, id) WHERE (gauge IS NOT NULL);


--
-- Name: visits_taken; Type: INDEX; Schema: public; Owner: -
--

CREATE INDEX visits_taken ON public.visits USING btree (taken, id);


--
-- Name: advices advices_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER advices_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.advices FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: calibrations calibrations_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER calibrations_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.calibrations FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: claims claims_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER claims_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.claims FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: entry entry_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER entry_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.entry FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: gauges gauges_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER gauges_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.gauges FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: kept kept_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER kept_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.kept FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: laps laps_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER laps_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.laps FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: limits limits_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER limits_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.limits FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: looks looks_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER looks_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.looks FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: mechanics mechanics_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER mechanics_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.mechanics FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: parts parts_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER parts_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.parts FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: photos photos_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER photos_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.photos FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: plans plans_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER plans_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.plans FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: points points_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER points_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.points FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: readings readings_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER readings_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.readings FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: reports reports_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER reports_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.reports FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: rigs rigs_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER rigs_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.rigs FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: rod_checks rod_checks_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER rod_checks_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.rod_checks FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: settings settings_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER settings_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.settings FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: turns turns_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER turns_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.turns FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: visits visits_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER visits_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.visits FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: weighings weighings_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER weighings_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.weighings FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: wheels wheels_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER wheels_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.wheels FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: withdrawals withdrawals_stays; Type: TRIGGER; Schema: public; Owner: -
--

CREATE TRIGGER withdrawals_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.withdrawals FOR EACH STATEMENT EXECUTE FUNCTION public.append_only();


--
-- Name: advices advices_id_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.advices
    ADD CONSTRAINT advices_id_fkey FOREIGN KEY (id) REFERENCES public.entry(id);


--
-- Name: advices advices_visit_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.advices
    ADD CONSTRAINT advices_visit_fkey FOREIGN KEY (visit) REFERENCES public.entry(id);


--
-- Name: calibrations calibrations_gauge_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.calibrations
    ADD CONSTRAINT calibrations_gauge_fkey FOREIGN KEY (gauge) REFERENCES public.entry(id);


--
-- Name: calibrations calibrations_id_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.calibrations
    ADD CONSTRAINT calibrations_id_fkey FOREIGN KEY (id) REFERENCES public.entry(id);


--
-- Name: calibrations calibrations_rig_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.calibrations
    ADD CONSTRAINT calibrations_rig_fkey FOREIGN KEY (rig) REFERENCES public.entry(id);


--
-- Name: claims claims_about_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.claims
    ADD CONSTRAINT claims_about_fkey FOREIGN KEY (about) REFERENCES public.entry(id);


--
-- Name: claims claims_id_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.claims
    ADD CONSTRAINT claims_id_fkey FOREIGN KEY (id) REFERENCES public.entry(id);


--
-- Name: entry entry_about_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.entry
    ADD CONSTRAINT entry_about_fkey FOREIGN KEY (about) REFERENCES public.entry(id);


--
-- Name: entry entry_supersedes_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.entry
    ADD CONSTRAINT entry_supersedes_fkey FOREIGN KEY (supersedes) REFERENCES public.entry(id);


--
-- Name: entry entry_thing_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.entry
    ADD CONSTRAINT entry_thing_fkey FOREIGN KEY (thing) REFERENCES public.entry(id);


--
-- Name: find_labels find_labels_wheel_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.find_labels
    ADD CONSTRAINT find_labels_wheel_fkey FOREIGN KEY (wheel) REFERENCES public.entry(id);


--
-- Name: find_parts find_parts_entry_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.find_parts
    ADD CONSTRAINT find_parts_entry_fkey FOREIGN KEY (entry) REFERENCES public.entry(id);


--
-- Name: find_words find_words_entry_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.find_words
    ADD CONSTRAINT find_words_entry_fkey FOREIGN KEY (entry) REFERENCES public.entry(id);


--
-- Name: find_words find_words_wheel_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.find_words
    ADD CONSTRAINT find_words_wheel_fkey FOREIGN KEY (wheel) REFERENCES public.entry(id);


--
-- Name: gauges gauges_id_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.gauges
    ADD CONSTRAINT gauges_id_fkey FOREIGN KEY (id) REFERENCES public.entry(id);


--
-- Name: laps laps_calibration_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.laps
    ADD CONSTRAINT laps_calibration_fkey FOREIGN KEY (calibration) REFERENCES public.entry(id);


--
-- Name: laps laps_gauge_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.laps
    ADD CONSTRAINT laps_gauge_fkey FOREIGN KEY (gauge) REFERENCES public.entry(id);


--
-- Name: laps laps_id_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.laps
    ADD CONSTRAINT laps_id_fkey FOREIGN KEY (id) REFERENCES public.entry(id);


--
-- Name: laps laps_visit_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.laps
    ADD CONSTRAINT laps_visit_fkey FOREIGN KEY (visit) REFERENCES public.entry(id);


--
-- Name: limits limits_about_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.limits
    ADD CONSTRAINT limits_about_fkey FOREIGN KEY (about) REFERENCES public.entry(id);


--
-- Name: limits limits_id_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.limits
    ADD CONSTRAINT limits_id_fkey FOREIGN KEY (id) REFERENCES public.entry(id);


--
-- Name: looks looks_id_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.looks
    ADD CONSTRAINT looks_id_fkey FOREIGN KEY (id) REFERENCES public.entry(id);


--
-- Name: looks looks_visit_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.looks
    ADD CONSTRAINT looks_visit_fkey FOREIGN KEY (visit) REFERENCES public.entry(id);


--
-- Name: mechanics mechanics_id_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.mechanics
    ADD CONSTRAINT mechanics_id_fkey FOREIGN KEY (id) REFERENCES public.entry(id);


--
-- Name: parts parts_id_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.parts
    ADD CONSTRAINT parts_id_fkey FOREIGN KEY (id) REFERENCES public.entry(id);


--
-- Name: parts parts_wheel_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.parts
    ADD CONSTRAINT parts_wheel_fkey FOREIGN KEY (wheel) REFERENCES public.entry(id);


--
-- Name: photos photos_id_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.photos
    ADD CONSTRAINT photos_id_fkey FOREIGN KEY (id) REFERENCES public.entry(id);


--
-- Name: photos photos_visit_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.photos
    ADD CONSTRAINT photos_visit_fkey FOREIGN KEY (visit) REFERENCES public.entry(id);


--
-- Name: plans plans_id_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.plans
    ADD CONSTRAINT plans_id_fkey FOREIGN KEY (id) REFERENCES public.entry(id);


--
-- Name: plans plans_visit_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.plans
    ADD CONSTRAINT plans_visit_fkey FOREIGN KEY (visit) REFERENCES public.entry(id);


--
-- Name: points points_calibration_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.points
    ADD CONSTRAINT points_calibration_fkey FOREIGN KEY (calibration) REFERENCES public.entry(id);


--
-- Name: points points_id_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.points
    ADD CONSTRAINT points_id_fkey FOREIGN KEY (id) REFERENCES public.entry(id);


--
-- Name: readings readings_id_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.readings
    ADD CONSTRAINT readings_id_fkey FOREIGN KEY (id) REFERENCES public.entry(id);


--
-- Name: readings readings_lap_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.readings
    ADD CONSTRAINT readings_lap_fkey FOREIGN KEY (lap) REFERENCES public.entry(id);


--
-- Name: reports reports_id_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.reports
    ADD CONSTRAINT reports_id_fkey FOREIGN KEY (id) REFERENCES public.entry(id);


--
-- Name: reports reports_visit_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.reports
    ADD CONSTRAINT reports_visit_fkey FOREIGN KEY (visit) REFERENCES public.entry(id);


--
-- Name: rigs rigs_id_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.rigs
    ADD CONSTRAINT rigs_id_fkey FOREIGN KEY (id) REFERENCES public.entry(id);


--
-- Name: rod_checks rod_checks_gauge_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.rod_checks
    ADD CONSTRAINT rod_checks_gauge_fkey FOREIGN KEY (gauge) REFERENCES public.entry(id);


--
-- Name: rod_checks rod_checks_id_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.rod_checks
    ADD CONSTRAINT rod_checks_id_fkey FOREIGN KEY (id) REFERENCES public.entry(id);


--
-- Name: settings settings_id_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.settings
    ADD CONSTRAINT settings_id_fkey FOREIGN KEY (id) REFERENCES public.entry(id);


--
-- Name: turns turns_about_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.turns
    ADD CONSTRAINT turns_about_fkey FOREIGN KEY (about) REFERENCES public.entry(id);


--
-- Name: turns turns_id_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.turns
    ADD CONSTRAINT turns_id_fkey FOREIGN KEY (id) REFERENCES public.entry(id);


--
-- Name: visits visits_id_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.visits
    ADD CONSTRAINT visits_id_fkey FOREIGN KEY (id) REFERENCES public.entry(id);


--
-- Name: visits visits_wheel_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.visits
    ADD CONSTRAINT visits_wheel_fkey FOREIGN KEY (wheel) REFERENCES public.entry(id);


--
-- Name: weighings weighings_id_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.weighings
    ADD CONSTRAINT weighings_id_fkey FOREIGN KEY (id) REFERENCES public.entry(id);


--
-- Name: weighings weighings_visit_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.weighings
    ADD CONSTRAINT weighings_visit_fkey FOREIGN KEY (visit) REFERENCES public.entry(id);


--
-- Name: wheels wheels_id_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.wheels
    ADD CONSTRAINT wheels_id_fkey FOREIGN KEY (id) REFERENCES public.entry(id);


--
-- Name: withdrawals withdrawals_id_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.withdrawals
    ADD CONSTRAINT withdrawals_id_fkey FOREIGN KEY (id) REFERENCES public.entry(id);


--
-- Name: withdrawals withdrawals_of_fkey; Type: FK CONSTRAINT; Schema: public; Owner: -
--

ALTER TABLE ONLY public.withdrawals
    ADD CONSTRAINT withdrawals_of_fkey FOREIGN KEY (of) REFERENCES public.entry(id);


--
-- PostgreSQL database dump complete
--



-- What was kept is never changed and never taken away; a name's newest version only moves on.

CREATE TRIGGER content_no_update BEFORE UPDATE ON content
BEGIN
    SELECT RAISE(ABORT, 'content only grows');
END;

CREATE TRIGGER content_no_delete BEFORE DELETE ON content
BEGIN
    SELECT RAISE(ABORT, 'content only grows');
END;

CREATE TRIGGER versions_no_update BEFORE UPDATE ON versions
BEGIN
    SELECT RAISE(ABORT, 'versions only grows');
END;

CREATE TRIGGER versions_no_delete BEFORE DELETE ON versions
BEGIN
    SELECT RAISE(ABORT, 'versions only grows');
END;

CREATE TRIGGER answers_no_update BEFORE UPDATE ON answers
BEGIN
    SELECT RAISE(ABORT, 'answers only grows');
END;

CREATE TRIGGER answers_no_delete BEFORE DELETE ON answers
BEGIN
    SELECT RAISE(ABORT, 'answers only grows');
END;

CREATE TRIGGER newest_no_delete BEFORE DELETE ON newest
BEGIN
    SELECT RAISE(ABORT, 'newest only moves on');
END;

CREATE TRIGGER newest_moves_on BEFORE UPDATE ON newest
WHEN NEW.kind <> OLD.kind OR NEW.name <> OLD.name OR NEW.number <> OLD.number + 1
BEGIN
    SELECT RAISE(ABORT, 'newest only moves on');
END;

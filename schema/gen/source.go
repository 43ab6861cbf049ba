package main

import (
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"reflect"
	"sort"
	"strings"
)

// source is what the struct declarations of package schema say, in the order of their files and lines.
type source struct {
	types []typeDecl
	byGo  map[string]*typeDecl
}

// typeDecl is a struct, or a string type with its constants.
type typeDecl struct {
	name   string
	doc    string
	fields []fieldDecl
	values []string
	// writes is true for register bodies, where a field set to null is emptied.
	writes bool
}

// fieldDecl is one field as JSON has it.
type fieldDecl struct {
	goName   string
	name     string
	doc      string
	typ      ast.Expr
	optional bool
	rules    string
}

// readSource parses the Go files of dir (tests left out). It works on the declarations, not by reflection, because
// the doc comments and the order of declarations are wanted too, and no list of types has to be kept.
func readSource(dir string) (*source, error) {
	names, err := filepath.Glob(filepath.Join(dir, "*.go"))
	if err != nil {
		return nil, fmt.Errorf("list %s: %w", dir, err)
	}
	sort.Strings(names)
	src := &source{byGo: map[string]*typeDecl{}}
	constants := map[string][]string{}
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		text, err := os.ReadFile(name)
		if err != nil {
			return nil, fmt.Errorf("read %s: %w", name, err)
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, text, parser.ParseComments)
		if err != nil {
			return nil, fmt.Errorf("parse %s: %w", name, err)
		}
		src.readFile(file, constants)
	}
	if len(src.types) == 0 {
		return nil, errors.New("no types found: run this in the schema folder (go generate ./schema)")
	}
	for i := range src.types {
		src.types[i].values = constants[src.types[i].name]
		src.byGo[src.types[i].name] = &src.types[i]
	}
	return src, nil
}

func (s *source) readFile(file *ast.File, constants map[string][]string) {
	for _, decl := range file.Decls {
		group, ok := decl.(*ast.GenDecl)
		if !ok {
			continue
		}
		for _, spec := range group.Specs {
			switch spec := spec.(type) {
			case *ast.ValueSpec:
				if of, ok := spec.Type.(*ast.Ident); ok && group.Tok == token.CONST {
					constants[of.Name] = append(constants[of.Name], literals(spec.Values)...)
				}
			case *ast.TypeSpec:
				s.readType(spec, group)
			}
		}
	}
}

func (s *source) readType(spec *ast.TypeSpec, group *ast.GenDecl) {
	if !spec.Name.IsExported() || spec.Assign.IsValid() {
		return
	}
	decl := typeDecl{name: spec.Name.Name, doc: words(group.Doc)}
	switch shape := spec.Type.(type) {
	case *ast.StructType:
		if !travels(shape) {
			return
		}
		for _, field := range shape.Fields.List {
			if len(field.Names) == 0 {
				decl.writes = true
				decl.fields = append(decl.fields, fieldDecl{typ: field.Type})
				continue
			}
			decl.fields = append(decl.fields, readField(field))
		}
	case *ast.Ident:
		if shape.Name != "string" {
			return
		}
	default:
		return
	}
	s.types = append(s.types, decl)
}

// travels is false for structs that are only used inside Go (Kind, Need): their fields have no JSON names.
func travels(shape *ast.StructType) bool {
	for _, field := range shape.Fields.List {
		if len(field.Names) > 0 && (field.Tag == nil || tagOf(field).Get("json") == "") {
			return false
		}
	}
	return true
}

func readField(field *ast.Field) fieldDecl {
	name, options, _ := strings.Cut(tagOf(field).Get("json"), ",")
	return fieldDecl{
		goName: field.Names[0].Name, name: name, doc: words(field.Doc), typ: field.Type,
		optional: strings.Contains(options, "omitempty"), rules: tagOf(field).Get("validate"),
	}
}

func tagOf(field *ast.Field) reflect.StructTag {
	return reflect.StructTag(strings.Trim(field.Tag.Value, "`"))
}

func literals(values []ast.Expr) []string {
	var all []string
	for _, value := range values {
		if literal, ok := value.(*ast.BasicLit); ok && literal.Kind == token.STRING {
			all = append(all, strings.Trim(literal.Value, `"`))
		}
	}
	return all
}

// words is a doc comment on one line.
func words(doc *ast.CommentGroup) string {
	return strings.Join(strings.Fields(doc.Text()), " ")
}

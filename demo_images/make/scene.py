"""Puts the meshes under one lamp in Blender's path tracer. Albedo is a table over the underpainting's grey."""
import bpy
import numpy as np
from mathutils import Vector

from brush import load

BLACK, GREY, WHITE = 0.01161, 0.20, 0.80
AIM = Vector((-0.9, 0, 19.3))
YAW = 13
STEPS = 1024


def add_mesh(name, v, t, **values):
    m = bpy.data.meshes.new(name)
    m.vertices.add(len(v))
    m.vertices.foreach_set("co", v.ravel())
    m.loops.add(t.size)
    m.loops.foreach_set("vertex_index", t.ravel())
    m.polygons.add(len(t))
    m.polygons.foreach_set("loop_start", np.arange(0, t.size, 3, dtype=np.int32))
    m.polygons.foreach_set("use_smooth", np.ones(len(t), bool))
    m.update(calc_edges=True)
    for key, value in values.items():
        m.attributes.new(key, "FLOAT", "POINT").data.foreach_set("value", value)
    o = bpy.data.objects.new(name, m)
    bpy.context.collection.objects.link(o)
    return o


class Nodes:
    """A few lines of shorthand for a material's node tree."""

    def __init__(self, tree):
        self.tree = tree

    def node(self, kind, inputs=(), **settings):
        n = self.tree.nodes.new(kind)
        for k, v in settings.items():
            setattr(n, k, v)
        for k, v in dict(inputs).items():
            if hasattr(v, "is_output"):
                self.tree.links.new(v, n.inputs[k])
            else:
                n.inputs[k].default_value = v
        return n

    def math(self, op, a, b=0.0):
        return self.node("ShaderNodeMath", {0: a, 1: b}, operation=op).outputs[0]

    def smooth(self, x, lo, hi, a=0.0, b=1.0):
        n = self.node("ShaderNodeMapRange", {"Value": x, "From Min": lo, "From Max": hi, "To Min": a, "To Max": b}, interpolation_type="SMOOTHSTEP")
        return n.outputs[0]

    def attribute(self, name):
        return self.node("ShaderNodeAttribute", attribute_name=name).outputs["Fac"]

    def noise(self, at, scale, detail):
        stretched = self.node("ShaderNodeVectorMath", {0: at, 1: scale}, operation="MULTIPLY").outputs[0]
        n = self.node("ShaderNodeTexNoise", {"Vector": stretched, "Scale": 1.0, "Detail": detail, "Roughness": 0.6})
        return self.math("SUBTRACT", n.outputs[0], 0.5)


class Stage:
    def __init__(self, parts, figure, threads=2):
        bpy.ops.wm.read_factory_settings(use_empty=True)
        s = self.scene = bpy.context.scene
        s.render.engine = "CYCLES"
        s.render.threads_mode, s.render.threads = "FIXED", threads
        s.render.use_persistent_data = False
        c = s.cycles
        c.device, c.use_adaptive_sampling = "CPU", False
        c.max_bounces = c.diffuse_bounces = 5
        c.sample_clamp_indirect = c.sample_clamp_direct = 0
        c.denoiser, c.denoising_input_passes = "OPENIMAGEDENOISE", "RGB_ALBEDO_NORMAL"
        s.render.image_settings.file_format, s.render.image_settings.color_depth = "OPEN_EXR", "32"
        s.render.use_compositing = s.render.use_sequencer = False
        self.tables, self.switches = {}, []
        self.root = bpy.data.objects.new("figure", None)
        bpy.context.collection.objects.link(self.root)
        self.objects = []
        for name, (v, t, dry, deep, _) in load(parts, figure).items():
            o = add_mesh(name, v, t, dry=dry, deep=deep)
            o.parent = self.root
            o.data.materials.append(self.material(name, figure.team.WASH))
            self.objects.append(o)
        self.root.rotation_euler[2] = np.radians(YAW)
        self.backdrop()
        self.lights()
        self.camera()
        self.expose()

    def material(self, name, wash):
        m = bpy.data.materials.new(name)
        m.use_nodes = True
        m.node_tree.nodes.clear()
        n = Nodes(m.node_tree)
        at = n.node("ShaderNodeTexCoord").outputs["Object"]
        fine, streak, blotch = n.noise(at, (13, 13, 10), 2.0), n.noise(at, (9, 9, 1.7), 3.0), n.noise(at, (0.55, 0.55, 0.4), 2.0)
        rough = n.math("ADD", n.math("MULTIPLY", fine, 0.40), n.math("ADD", n.math("MULTIPLY", streak, 0.45), n.math("MULTIPLY", blotch, 0.25)))
        dry = n.math("ADD", n.attribute("dry"), rough)
        # Grey brushed on widely, then white on what stands out most.
        s = n.math("ADD", n.smooth(dry, 0.22, 0.78, BLACK, GREY), n.smooth(dry, 0.50, 1.02, 0.0, WHITE - GREY))
        wet = n.math("ADD", n.attribute("deep"), n.math("MULTIPLY", n.math("ADD", fine, blotch), 0.06))
        w = n.smooth(wet, *wash)
        pick = n.node("ShaderNodeValue")
        mixed = n.node("ShaderNodeMix", {"Factor": pick.outputs[0], "A": s, "B": w}, data_type="FLOAT").outputs[0]
        u = n.math("ADD", n.math("MULTIPLY", mixed, (STEPS - 1) / STEPS), 0.5 / STEPS)
        where = n.node("ShaderNodeCombineXYZ", {"X": u, "Y": 0.5}).outputs[0]
        tex = n.node("ShaderNodeTexImage", {"Vector": where}, interpolation="Linear", extension="EXTEND")
        lit = n.node("ShaderNodeBsdfDiffuse", {"Color": tex.outputs[0]})
        flat = n.node("ShaderNodeEmission", {"Color": tex.outputs[0]})
        kind = n.node("ShaderNodeValue")
        end = n.node("ShaderNodeMixShader", {0: kind.outputs[0], 1: lit.outputs[0], 2: flat.outputs[0]})
        n.node("ShaderNodeOutputMaterial", {"Surface": end.outputs[0]})
        self.tables[name] = tex
        self.switches.append((pick.outputs[0], kind.outputs[0]))
        return m

    def plain(self, name, albedo):
        m = bpy.data.materials.new(name)
        m.use_nodes = True
        m.node_tree.nodes.clear()
        n = Nodes(m.node_tree)
        lit = n.node("ShaderNodeBsdfDiffuse", {"Color": (albedo, albedo, albedo, 1)})
        flat = n.node("ShaderNodeEmission", {"Color": (0, 0, 0, 1)})
        kind = n.node("ShaderNodeValue")
        end = n.node("ShaderNodeMixShader", {0: kind.outputs[0], 1: lit.outputs[0], 2: flat.outputs[0]})
        n.node("ShaderNodeOutputMaterial", {"Surface": end.outputs[0]})
        self.switches.append((None, kind.outputs[0]))
        return m

    def backdrop(self):
        a = np.linspace(0, np.pi / 2, 24)
        y = np.concatenate([[-200], 60 + 70 * np.sin(a), [130]])
        z = np.concatenate([[0], 70 - 70 * np.cos(a), [300]]) - 3.72
        v = np.array([(x, yy, zz) for yy, zz in zip(y, z) for x in (-260.0, 260.0)], np.float32)
        t = np.array([q for i in range(len(y) - 1) for q in ((2 * i, 2 * i + 1, 2 * i + 3), (2 * i, 2 * i + 3, 2 * i + 2))], np.int32)
        self.screen = add_mesh("backdrop", v, t)
        self.screen.data.materials.append(self.plain("backdrop", 0.24))

    def lights(self):
        self.lamps = []
        for place, size, power in (((-120, -150, 165), 62, 1.0), ((190, -120, 70), 160, 0.16)):
            d = bpy.data.lights.new("lamp", "AREA")
            d.size, d.energy = size, power * 1e5
            o = bpy.data.objects.new("lamp", d)
            o.location = AIM + Vector(place)
            o.rotation_euler = (AIM - o.location).to_track_quat("-Z", "Y").to_euler()
            bpy.context.collection.objects.link(o)
            self.lamps.append(o)
        w = self.scene.world = bpy.data.worlds.new("room")
        w.use_nodes = True
        self.room = w.node_tree.nodes["Background"].inputs["Strength"]
        w.node_tree.nodes["Background"].inputs["Color"].default_value = (1, 1, 1, 1)
        self.room.default_value = 0.06

    def camera(self):
        d = bpy.data.cameras.new("camera")
        d.sensor_fit, d.sensor_height, d.lens = "VERTICAL", 24, 24 * 330 / 54.5
        d.clip_end = 2000
        o = bpy.data.objects.new("camera", d)
        o.location = AIM + Vector((0, -330 * np.cos(np.radians(9)), 330 * np.sin(np.radians(9))))
        o.rotation_euler = (AIM - o.location).to_track_quat("-Z", "Y").to_euler()
        bpy.context.collection.objects.link(o)
        self.scene.camera = o

    def expose(self):
        """Scales all light so that a card of albedo 0.5, facing the lamp where the figure stands, reads 0.5."""
        v = np.array([(-4, -4, 0), (4, -4, 0), (4, 4, 0), (-4, 4, 0)], np.float32)
        card = add_mesh("card", v, np.array([(0, 1, 2), (0, 2, 3)], np.int32))
        card.data.materials.append(self.plain("card", 0.5))
        card.location = AIM
        card.rotation_euler = (self.lamps[0].location - AIM).to_track_quat("Z", "Y").to_euler()
        for o in self.objects:
            o.hide_render = True
        got = self.render(bpy.app.tempdir + "card.exr", 60, 90, 512, denoise=False)
        read = got[43:47, 28:32].mean()
        gain = 0.5 / read
        for o in self.lamps:
            o.data.energy *= gain
        self.room.default_value *= gain
        bpy.data.objects.remove(card)
        self.switches.pop()
        for o in self.objects:
            o.hide_render = False

    def table(self, name, values):
        px = np.ones((STEPS, 4), np.float32)
        px[:, :3] = values
        old = self.tables[name].image        # a new image each time: the renderer keeps the old one's pixels
        image = bpy.data.images.new(name, STEPS, 1, float_buffer=True, is_data=True)
        image.pixels.foreach_set(px.ravel())
        self.tables[name].image = image
        if old:
            bpy.data.images.remove(old)

    def look(self, tables=None, washed=False, flat=False):
        """Tables per part (identity where none is given), which underpainting, lit or flat."""
        grey = np.repeat(np.linspace(0, 1, STEPS)[:, None], 3, 1)
        for name in self.tables:
            given = (tables or {}).get(name)
            self.table(name, grey if given is None else given)
        for pick, kind in self.switches:
            if pick:
                pick.default_value = float(washed)
            kind.default_value = float(flat)

    def render(self, path, width, height, samples, denoise=True, filter_px=1.0, seed=1, part=None):
        s = self.scene
        s.render.use_border = s.render.use_crop_to_border = part is not None
        if part:
            s.render.border_min_x, s.render.border_max_x, s.render.border_min_y, s.render.border_max_y = part
        s.render.resolution_x, s.render.resolution_y, s.render.resolution_percentage = width, height, 100
        c = s.cycles
        c.samples, c.seed, c.use_denoising = samples, seed, denoise
        c.pixel_filter_type, c.filter_width = ("BOX", filter_px) if filter_px <= 1.0 else ("BLACKMAN_HARRIS", filter_px)
        s.render.filepath = str(path)
        bpy.ops.render.render(write_still=True)
        return read(path)


def read(path):
    image = bpy.data.images.load(str(path), check_existing=False)
    w, h = image.size
    px = np.empty(w * h * 4, np.float32)
    image.pixels.foreach_get(px)
    bpy.data.images.remove(image)
    return px.reshape(h, w, 4)[::-1, :, :3].copy()

"""The physics of milling, as pure functions on SI floats or numpy arrays.

Every argument is a float or an array; arguments broadcast against each other and the answer has their
common shape. `nan` goes through, and stands where a formula has no meaning (a cut wider than the cutter).
A value outside the range a formula was fitted on is not changed: `validity` says so beside it.

Directions: x along the feed, y normal to it; the immersion angle is counted from +y, clockwise seen from
above. Conventional (up) milling enters at 0, climb (down) milling leaves at pi.

Glossary: the name of a quantity in code, its symbol and its unit here.

    acceleration               a        m/s^2    of an axis, up and down
    angle, phi                 phi      rad      immersion angle of a point of an edge
    angles                     theta    rad      of the cutter as it turns: of the tip of one edge
    area                       A        m^2      that is cooled, or that holds
    axial_chip                 -        m        chip of bottom edges, the feed per tooth along the axis
    axial_depth                ap       m        depth of cut along the axis
    base                       w        m        of work, from the edge it turns over to the opposite one
    bed_thickness              t        m        of board or plate under a hold; `bed_conductivity` its k
    bending_stress             sigma    Pa       outer-fibre stress of the cutter as a beam
    chip_thickness             h        m        undeformed chip thickness, in the plane of the cut
    chip_thickness_max         hmax     m        the thickest chip of a tooth's arc
    chip_thickness_mean        hm       m        the mean over the arc of contact
    conductance                G        W/K      of a body to all that is round it
    cutter, cone               r(z)     -        outline of a cutter, `shapes.Profile`
    cutter_radius              r        m        by which a path lies outside a wall
    cutting_force              Fc       N        along the cutting speed, or along an axis
    cutting_power              Pc       W        mean torque times angular speed, at the shaft
    cutting_speed              vc       m/s      speed of the edge
    deflection                 delta    m        of the cutter's axis at the load
    density                    rho      kg/m^3
    diameter                   D        m        cutting diameter (ISO 13399 DC)
    distance                   d        m        of a move, along its path
    duration                   t        s
    edge_angle                 kappa_r  rad      of the edge against the feed, a right angle when square
    edge_radius                re       m        roundness of the cutting edge
    efficiency                 eta      1        of a drive: what comes out over what goes in
    engagement_angle           phi_s    rad      arc of contact of one tooth
    entry, exit                phi_st, phi_ex  rad   immersion at which a tooth enters and leaves
    feed_per_tooth             fz       m        also chip load
    feed_rate                  vf       m/s
    flute_length               APMX     m        fluted part above the tip
    flutes                     z        1        peripheral effective teeth (ISO 13399 ZEFP)
    force                      F        N        across the cutter, along a screw, along the bed
    force_height               h        m        of a side force, above what holds the work
    force_x, force_y, force_z  Fx Fy Fz N        on the cutter in the plane; z is the lift on the work
    frequency                  f, fn    Hz       of a mode, a chatter or a motor's field
    friction                   mu       1        coefficient
    heat                       P        W        that flows into a body
    heat_capacity              C        J/K      of a body, its mass times its specific heat
    helix                      beta     rad      positive right-hand (up-cut), negative left-hand
    helix_pitch                p        m        way down in one turn of a helix
    hole_depth                 -        m        of a bored hole
    hole_diameter              Dh       m        of a hole that is milled
    kc11, mc                   kc1.1 mc Pa, 1    specific force at 1 mm chip, its exponent
    ktc, krc, kac              Ktc ...  Pa       tangential, radial, axial cutting coefficients
    kte, kre, kae              Kte ...  N/m      tangential, radial, axial edge coefficients
    lag                        psi      rad      by how much the top of an edge trails its tip
    layer_thickness            t        m        of tape, glue or a gap of air; `layer_conductivity` its k
    lift                       Fz       N        of a cut, away from the bed
    long_side, short_side      b, L     m        of a footprint, or of a part
    stock_offset               -        m        y of the middle of the stock, from the axis
    part_length, part_width    -        m        sides of a part in plan
    path_diameter              Dm       m        of a round path of the cutter's centre
    path_radius                r        m        of a bend of that path
    pitch_angle                phi_p    rad      angle between neighbouring teeth
    radial_width               ae       m        width of cut across the axis
    rake                       gamma    rad
    ramp_length                L        m        of a straight ramp, along the floor
    material_removal_rate      Q        m^3/s    volume of stock removed per time
    runout                     TIR      m        total indicator reading, twice the radial offset
    samples                    -        1        steps over a turn, or a stretch of it, looked at
    shank_diameter             DMM      m
    share_lost                 x        1        part of a body's mass that is gone at the end
    shear_angle                phi      rad      of the plane the chip is sheared along
    spindle_speed              n        rev/s    turns, never radians, per second
    start_temperature          T0       K        of a body before it warms or cools
    stickout                   L        m        from the holder to the tip
    stiffness                  k        N/m      of a mode, or of cutter and machine at the load
    stock_width                w        m        of the stock across the feed
    surroundings               Ta       K        temperature round a body
    temperature                T        K
    thermal_time              tau      s        of heating or cooling
    tooth_passing_frequency    f_t      Hz
    torque                     M        N m      on the spindle
    whole, each                -        m        what passes cover, and what one of them does
    youngs_modulus             E        Pa
"""
